#include "files/value.hpp"

#include <unordered_map>
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
    std::unordered_map<std::string, std::size_t> places;
    for (std::size_t i = 0; i < base.items.size(); ++i) places.emplace(base.items[i].key, i);
    for (const Value& item : over.items) {
        const auto known = places.find(item.key);
        if (known != places.end())
            lay_over(base.items[known->second], item);
        else
            base.items.push_back(item);
    }
}

}  // namespace shimwise::files
