// One header for Catch2 2.13 (Debian 12) and 3.x (Debian 13).
#pragma once

#ifdef SHIMWISE_CATCH2_V3
#include <catch2/catch_all.hpp>
#else
#include <catch2/catch.hpp>
#endif

/// |actual - expected| <= margin, written so that NaN fails.
#define CHECK_NEAR(actual, expected, margin)                                                                   \
    do {                                                                                                       \
        const double actual_ = (actual);                                                                       \
        const double expected_ = (expected);                                                                   \
        INFO(#actual << " = " << actual_ << ", expected " << expected_ << ", off by " << actual_ - expected_); \
        CHECK((actual_ - expected_ <= (margin) && expected_ - actual_ <= (margin)));                           \
    } while (false)
