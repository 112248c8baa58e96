#include <cmath>

#include "files/shown.hpp"
#include "model/findings.hpp"

namespace shimwise {
namespace {

using files::shown;

void check_damper(const Corner& corner, Findings& findings) {
    const Damper& damper = *corner.damper;
    const std::string field = corner_field(corner.id, "damper");
    findings.positive(field + ".shortest_mm", damper.shortest_mm);
    if (!(damper.longest_mm > damper.shortest_mm))
        findings.add(field + ".longest_mm", "must be more than shortest_mm");
    else
        check_strut_as_drawn(corner, findings);
}

void check_rubber(const Corner& corner, Findings& findings) {
    const BumpRubber& rubber = *corner.bump_rubber;
    const std::string field = corner_field(corner.id, "bump_rubber");
    findings.not_negative(field + ".gap_mm", rubber.gap_mm);
    const auto& rows = rubber.force_N_at_mm;
    bool rising = rows.size() >= 2 && rows.front()[0] >= 0.0 && rows.front()[1] >= 0.0;
    for (std::size_t i = 1; i < rows.size(); ++i)
        rising = rising && rows[i][0] > rows[i - 1][0] && rows[i][1] >= rows[i - 1][1];
    if (!rising) findings.add(field + ".force_N_at_mm", "needs two or more rows [mm, N], both rising from 0 or more");
}

}  // namespace

void check_strut_as_drawn(const Corner& corner, Findings& findings) {
    if (!corner.damper) return;
    const Damper& damper = *corner.damper;
    const Point eye = corner.has_rocker() ? Point::rocker_spring : Point::spring_outer;
    if (!corner.has(eye) || !corner.has(Point::spring_chassis)) return;
    const double drawn_mm = std::sqrt(squared(corner.at(eye) - corner.at(Point::spring_chassis)));
    if (!(drawn_mm >= damper.shortest_mm && drawn_mm <= damper.longest_mm))
        findings.add(corner_field(corner.id, "damper"),
                     "its range of " + shown(damper.shortest_mm) + " to " + shown(damper.longest_mm) +
                         " mm excludes the drawn length eye to eye, " + shown(drawn_mm) + " mm");
}

void check_springs(const Corner& corner, Findings& findings) {
    const std::string field = corner_field(corner.id, "spring");
    const Spring& spring = corner.spring;
    findings.positive(field + ".rate_N_per_mm", spring.rate_N_per_mm);
    if (spring.free_length_mm) findings.positive(field + ".free_length_mm", *spring.free_length_mm);
    const int ways =
        (spring.load_at_drawn_N ? 1 : 0) + (spring.free_length_mm ? 1 : 0) + (spring.rests_as_drawn ? 1 : 0);
    if (ways != 1)
        findings.add(field, std::string(ways == 0 ? "needs" : "has more than") +
                                " one of load_at_drawn_N, free_length_mm or rests_as_drawn = true");
    if (corner.damper) check_damper(corner, findings);
    if (corner.bump_rubber) check_rubber(corner, findings);
    if (corner.helper) {
        findings.positive(corner_field(corner.id, "helper.rate_N_per_mm"), corner.helper->rate_N_per_mm);
        findings.not_negative(corner_field(corner.id, "helper.closes_at_mm"), corner.helper->closes_at_mm);
    }
}

}  // namespace shimwise
