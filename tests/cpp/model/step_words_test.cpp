#include "model/step_words.hpp"

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("a step is read as the word that is written of it") {
    CHECK(step_word(0.0) == "anywhere");
    CHECK(step_word(1.0 / 6.0) == "flat");
    CHECK(step_word(1.0 / 5.0) == "1/5 turn");
    for (const std::string& word : step_words()) CHECK(step_word(step_turns(word).value()) == word);
    for (int parts = 1; parts <= 9999; ++parts) {
        const double turns = 1.0 / parts;
        REQUIRE(step_turns(step_word(turns)).value() == turns);
    }
    CHECK_FALSE(step_turns("anywhere").has_value());
    CHECK_FALSE(step_turns("1/0 turn").has_value());
}
