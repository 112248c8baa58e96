// Problems found by looking at a car, by field.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "shimwise/error.hpp"
#include "shimwise/model/car.hpp"

namespace shimwise {

class Findings {
public:
    explicit Findings(std::string file) : file_(std::move(file)) {}

    void add(const std::string& field, const std::string& rule);
    void positive(const std::string& field, double value);
    void not_negative(const std::string& field, double value);
    std::vector<Problem> take() { return std::move(problems_); }

private:
    std::string file_;
    std::vector<Problem> problems_;
};

std::string corner_field(CornerId id, std::string_view part);

/// The geometry of one corner as drawn; the bar belongs to its axle.
void check_corner(const Corner& corner, const std::optional<Bar>& bar, Findings& findings);
/// Its damper, at the length eye to eye as drawn.
void check_strut_as_drawn(const Corner& corner, Findings& findings);
void check_springs(const Corner& corner, Findings& findings);
/// Its adjusters as they stand, by their limits.
void check_limits(const Car& car, CornerId id, Findings& findings);
void check_adjusters(const Car& car, CornerId id, Findings& findings);

}  // namespace shimwise
