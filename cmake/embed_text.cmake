# cmake -DFILES=data/practice/drying*.csv -DHEADER=drying/practice_tables.h -DNAMESPACE=drying
# -DOUTPUT=x.cpp -P embed_text.cmake: small tables as texts inside the program, so that no file is opened at run time. a.csv becomes the text a_csv.
string(REPLACE "^" ";" FILES "${FILES}")  # several patterns
file(GLOB files ${FILES})
set(text "// Made by cmake/embed_text.cmake from ${FILES}.\n#include \"${HEADER}\"\n\nnamespace witnessline::${NAMESPACE} {\n")
foreach(file ${files})
  file(READ ${file} content)
  get_filename_component(name ${file} NAME)
  string(REPLACE "." "_" name ${name})
  string(APPEND text "const char* const ${name} = R\"~~(${content})~~\";\n")
endforeach()
file(WRITE ${OUTPUT} "${text}}  // namespace witnessline::${NAMESPACE}\n")
