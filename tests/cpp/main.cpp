#ifndef SHIMWISE_CATCH2_V3
#define CATCH_CONFIG_MAIN
#endif
#include "catch.hpp"

#ifdef SHIMWISE_CATCH2_V3
int main(int argc, char* argv[]) { return Catch::Session().run(argc, argv); }
#endif
