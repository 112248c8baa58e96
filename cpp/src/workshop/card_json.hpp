// A card as JSON and back. What an older card does not have stays empty; what is there and is something else is refused
// by file and field.
#pragma once

#include <nlohmann/json.hpp>

#include "shimwise/workshop/card.hpp"

namespace shimwise {

using Json = nlohmann::ordered_json;

Json data_of(const Card& card);

/// Throws InputError with every fault of the card. `path`: of the file, for messages.
Card card_in(const std::string& path, const Json& data);

/// The member of a table; null where there is none.
Json member(const Json& data, const char* key);

/// A value as a sentence shows it; empty where it is too long.
std::string shown_json(const Json& value);

}  // namespace shimwise
