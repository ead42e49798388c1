// The headers that are parsed once need a source to be compiled with.
