// How many cases a test draws: few in scripts/test, all in scripts/proof.
#pragma once

#include <cstdlib>
#include <fstream>
#include <string>

/// `full` where SHIMWISE_SIZE=full, else `brief`. What was taken is noted in the file that SHIMWISE_SIZES names.
inline int test_size(const std::string& what, int brief, int full) {
    const char* size = std::getenv("SHIMWISE_SIZE");
    const int taken = size != nullptr && std::string(size) == "full" ? full : brief;
    if (const char* file = std::getenv("SHIMWISE_SIZES")) {
        std::ofstream(file, std::ios::app)
            << what + ": " + std::to_string(taken) + " of " + std::to_string(full) + "\n";
    }
    return taken;
}
