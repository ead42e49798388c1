#include "readings.h"

FUZZ(bytes) { witnessline::take_readings(witnessline::match::read_csv_readings(bytes, "readings")); }
