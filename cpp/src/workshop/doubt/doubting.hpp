// Numbers beside what is usual -> doubts.
#pragma once

#include "shimwise/workshop/doubt/doubts.hpp"
#include "shimwise/workshop/doubt/usual.hpp"

namespace shimwise {

class Doubting {
public:
    /// `mirrored`: what both sides of a car say alike is said of the left one, whose mirror image the right one is.
    explicit Doubting(std::string file, bool mirrored = false) : file_(std::move(file)), mirrored_(mirrored) {}

    /// A doubt where the number is not within its row; NaN is not.
    void number(const std::string& field, UsualOf of, double value);
    void said(const std::string& field, const std::string& sentence);
    std::vector<Doubt> take() { return std::move(doubts_); }

private:
    std::string file_;
    bool mirrored_;
    std::vector<Doubt> doubts_;
};

/// "front_left.part"
std::string at_corner_field(std::size_t corner, std::string_view part);

/// x of the middle of the front contacts less that of the rear ones, as drawn.
double wheelbase_mm(const Car& car);

}  // namespace shimwise
