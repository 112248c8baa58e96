// [instruments], [strings] and [settling] of a car file.
#pragma once

#include "files/table.hpp"
#include "shimwise/model/instruments.hpp"

namespace shimwise {

Instruments read_instruments(files::Table table);
Strings read_strings(files::Table table);
Settling read_settling(files::Table table);
Known read_known(files::Table table);

}  // namespace shimwise
