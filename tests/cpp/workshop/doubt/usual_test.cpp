#include "shimwise/workshop/doubt/usual.hpp"

#include <cmath>

#include "catch.hpp"
#include "workshop/doubt/doubting.hpp"

using namespace shimwise;

TEST_CASE("every row of what is usual stands in its place and doubts what lies beside it, NaN too") {
    for (std::size_t i = 0; i < usual_count; ++i) {
        const Usual& usual = usual_list[i];
        INFO(usual.what);
        CHECK(index(usual.of) == i);
        CHECK(usual.least < usual.most);
        CHECK_FALSE(usual.matters.empty());
        for (const double inside : {usual.least, usual.most, 0.5 * (usual.least + usual.most)}) {
            Doubting none("a.toml");
            none.number("field", usual.of, inside);
            CHECK(none.take().empty());
        }
        const double more = 1.001 * (usual.most - usual.least);
        for (const double outside : {usual.least - more, usual.most + more, std::nan("")}) {
            Doubting one("a.toml");
            one.number("field", usual.of, outside);
            const std::vector<Doubt> found = one.take();
            REQUIRE(found.size() == 1);
            CHECK(found[0].at == "field");
            CHECK(found[0].text.find("a.toml: field: " + std::string(usual.what) + " is ") == 0);
            CHECK(found[0].text.find("(common practice): " + std::string(usual.matters)) != std::string::npos);
        }
    }
}

TEST_CASE("of mirrored sides what both say is said once, of others twice") {
    for (const bool mirrored : {true, false}) {
        Doubting doubting("a.toml", mirrored);
        doubting.number("front_left.spring", UsualOf::motion_ratio, 9.0);
        doubting.number("front_right.spring", UsualOf::motion_ratio, 9.0);
        doubting.number("front_right.spring", UsualOf::motion_ratio, 8.0);
        CHECK(doubting.take().size() == (mirrored ? 2 : 3));
    }
}
