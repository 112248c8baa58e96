#include "files/shown.hpp"
#include "model/findings.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/model/limits.hpp"

namespace shimwise {
namespace {

constexpr double finest_pitch_mm = 0.01;

void check_pitch(const std::string& field, double pitch_mm, Findings& findings) {
    findings.positive(field, pitch_mm);
    if (pitch_mm > 0.0 && !(pitch_mm >= finest_pitch_mm))
        findings.add(field, "is finer than " + files::shown(finest_pitch_mm) + " mm: no thread is");
}

void check_thread(const Thread& thread, const std::string& field, Findings& findings) {
    const std::string pitch = thread.designation.empty() ? ".pitch_mm" : ".thread";
    check_pitch(field + pitch, thread.pitch_mm, findings);
    if (thread.ends == Ends::same_hand) {
        check_pitch(field + ".second_pitch_mm", thread.second_pitch_mm, findings);
        if (thread.lead_mm() == 0.0)
            findings.add(field + ".ends", "two ends of the same hand and pitch: turning it changes nothing");
    }
    findings.not_negative(field + ".settable_turns", thread.settable_turns);
    findings.not_negative(field + ".least_engaged_mm", thread.least_engaged_mm);
}

void check_shims(const std::vector<double>& shims, const std::string& field, Findings& findings) {
    for (const double thickness : shims)
        if (const std::string fault = shim_fault(thickness); !fault.empty()) {
            findings.add(field, fault);
            return;
        }
}

void check_stack(const Stack& stack, const std::string& field, Findings& findings) {
    findings.not_negative(field + ".drawn_with_mm", stack.drawn_with_mm);
    findings.not_negative(field + ".thickness_uncertainty_mm", stack.thickness_uncertainty_mm);
    check_shims(stack.fitted_mm, field + ".fitted_mm", findings);
    check_shims(stack.box_mm, field + ".box_mm", findings);
    if (!stack.limits_mm) return;
    if (!(stack.limits_mm->first >= 0.0)) findings.add(field + ".limits_mm", "a stack is never thinner than 0 mm");
}

}  // namespace

std::string adjuster_field(CornerId id, const std::string& name) {
    return corner_field(id, "adjuster \"" + name + "\"");
}

void check_adjusters(const Car& car, CornerId id, Findings& findings) {
    if (car[id].adjusters.size() > max_adjusters)
        findings.add(std::string(corner_names[index(id)]) + ".adjuster",
                     "a corner may have " + std::to_string(max_adjusters) + " adjusters");
    for (const Adjuster& adjuster : car[id].adjusters) {
        const std::string field = adjuster_field(id, adjuster.name);
        findings.not_negative(field + ".minutes", adjuster.minutes);
        if (const Thread* thread = adjuster.thread())
            check_thread(*thread, field, findings);
        else
            check_stack(*adjuster.stack(), field, findings);
    }
    check_limits(car, id, findings);
}

void check_limits(const Car& car, CornerId id, Findings& findings) {
    for (const Adjuster& adjuster : car[id].adjusters)
        if (const auto broken = broken_limit(car, id, adjuster, present_setting(adjuster)))
            findings.add(adjuster_field(id, adjuster.name) + "." + broken->key, broken->rule);
}

}  // namespace shimwise
