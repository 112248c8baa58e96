#include "files/value.hpp"

#include <utility>

namespace shimwise::files {

const Value* Value::find(std::string_view name) const {
    for (const Value& item : items)
        if (item.key == name) return &item;
    return nullptr;
}

Value mirrored(Value value) {
    value.place.mirrored = true;
    value.key_place.mirrored = true;
    for (Value& item : value.items) item = mirrored(std::move(item));
    return value;
}

void lay_over(Value& base, const Value& over) {
    if (base.kind != Value::Kind::table || over.kind != Value::Kind::table) {
        base = over;
        return;
    }
    base.place = over.place;
    base.key_place = over.key_place;
    for (const Value& item : over.items) {
        bool known = false;
        for (Value& own : base.items) {
            if (own.key != item.key) continue;
            lay_over(own, item);
            known = true;
        }
        if (!known) base.items.push_back(item);
    }
}

}  // namespace shimwise::files
