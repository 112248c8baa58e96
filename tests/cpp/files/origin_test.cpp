#include "shimwise/files/origin.hpp"

#include "catch.hpp"
#include "files/sha256.hpp"
#include "files/text.hpp"
#include "files_of_tests.hpp"

using namespace shimwise;

TEST_CASE("an origin is the start of the digest of the bytes that were read, their mark and line ends too") {
    CHECK(digits(origin_of("abc")) == "ba7816bf8f01cfea");
    for (const std::string bytes : {"", "a\r\n",
                                    "\xEF\xBB\xBF"
                                    "a\r\n",
                                    "\xFF\xFE"
                                    "a"})
        CHECK(digits(origin_of(bytes)) == files::sha256(bytes).substr(0, 16));
    CHECK(digits(Origin{}) == "0000000000000000");
}

TEST_CASE("lines whose value is said to be INVENTED are counted once each, in UTF-16 too, and no comment by itself") {
    CHECK(origin_of("a = 1 # INVENTED\nb = 2\nc = [ # INVENTED, INVENTED\n1]\nd = \"INVENTED\"").invented_lines == 3);
    CHECK(origin_of("# INVENTED\n  # INVENTED\n\t#INVENTED\na = 1\r\n# INVENTED").invented_lines == 0);
    const std::string wide("\xFF\xFEI\0N\0V\0E\0N\0T\0E\0D\0", 18);
    CHECK(origin_of(wide).invented_lines == 1);
    CHECK(origin_of("\xFF\xFE"
                    "I")
              .invented_lines == 0);
}

TEST_CASE("a text comes without its mark, from UTF-8 or either UTF-16") {
    const std::string_view letters = "a\xC3\xA9\xE2\x82\xAC\xF0\x9F\x98\x80";  // a, e acute, euro, a face: 1 to 4 bytes
    CHECK(files::as_utf8(letters) == letters);
    CHECK(files::as_utf8("\xEF\xBB\xBF" + std::string(letters)) == letters);
    CHECK(files::as_utf8(std::string_view("\xFF\xFE\x61\x00\xE9\x00\xAC\x20\x3D\xD8\x00\xDE", 12)) == letters);
    CHECK(files::as_utf8(std::string_view("\xFE\xFF\x00\x61\x00\xE9\x20\xAC\xD8\x3D\xDE\x00", 12)) == letters);
    for (const std::string_view broken : {std::string_view("\xFF\xFE\x61", 3),               // half a unit
                                          std::string_view("\xFF\xFE\x3D\xD8", 4),           // half a pair
                                          std::string_view("\xFF\xFE\x3D\xD8\x61\x00", 6),   // and another letter
                                          std::string_view("\xFF\xFE\x00\xDE\x3D\xD8", 6)})  // the halves exchanged
        CHECK(files::as_utf8(broken) == std::nullopt);
}

TEST_CASE("a file is read once, its text and its origin from the same bytes") {
    const testing::ScratchFolder folder;
    const std::string bytes("\xFE\xFF\0a\0\n", 6);
    const files::Text text = files::read_text(read_source(folder.write("wide.toml", bytes)));
    CHECK(text.utf8 == "a\n");
    CHECK(text.origin.digest == origin_of(bytes).digest);
    const std::string broken = folder.write("broken.toml",
                                            "\xFE\xFF"
                                            "a");
    CHECK(testing::complaint("\xFE\xFF"
                             "a",
                             [](const std::string& path) { files::read_text(read_source(path)); }) ==
          " starts as UTF-16 text and is none: save it as UTF-8");
}
