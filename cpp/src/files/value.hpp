// A file's contents as a tree of values that know where they were written.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace shimwise::files {

struct Place {
    int line = 0;
    int column = 0;
    std::string written;    // as in the file, shortened; empty for tables
    bool mirrored = false;  // taken over from the other side: the second number of a vector of three changes sign
};

struct Value {
    enum class Kind { boolean, integer, number, string, date, list, table };
    Kind kind = Kind::table;
    Place place;
    std::string key;  // of an entry of a table
    Place key_place;
    bool flag = false;
    double number = 0.0;  // of an integer too
    std::string text;     // of a string or a date
    std::vector<Value> items;

    const Value* find(std::string_view name) const;
};

/// `value` as taken over from the other side.
Value mirrored(Value value);

/// Lays `over` on `base`: key by key into tables; all else as a whole.
void lay_over(Value& base, const Value& over);

}  // namespace shimwise::files
