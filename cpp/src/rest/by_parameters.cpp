#include <algorithm>

#include "rest/elements.hpp"
#include "rest/kernel_input.hpp"
#include "rest/places.hpp"

namespace shimwise::rest_system {
namespace {

using Table = AllJets<table_locals>;
using Columns = Eigen::Matrix<double, unknowns, Eigen::Dynamic>;

/// Where each group of columns begins.
struct Groups {
    std::array<Index, corner_count> settings{};
    Index pads = 0, ballasts = 0, rack = 0, end = 0;
    std::size_t most_settings = 1;  // of one corner

    explicit Groups(const RestModel& m) {
        for (std::size_t c = 0; c < corner_count; ++c) {
            settings[c] = pads;
            pads += static_cast<Index>(m.setups[c].amounts_mm.size());
            most_settings = std::max(most_settings, settings_of(m, c));
        }
        ballasts = pads + static_cast<Index>(corner_count);
        rack = ballasts + static_cast<Index>(m.weights.size()) - 1;
        end = rack + (m.has_rack() ? 1 : 0);
    }

    Index column(const RestModel& m, std::size_t c, std::size_t setting) const {
        return setting < m.setups[c].amounts_mm.size() ? settings[c] + static_cast<Index>(setting) : rack;
    }
};

Table table_jets(const RestModel& m, const Posture& at, std::size_t first) {
    Table jets;
    const Turns turns(at.pose);
    for (std::size_t c = 0; c < corner_count; ++c) {
        CornerNumbers<table_locals> numbers;
        rest_kernel().numbers(rest_input(m, c, at.half_tan[c], first), numbers);
        jets[c] = corner_jets(m, c, numbers, Up(turns.at_corner(c)));
    }
    return jets;
}

/// Columns of the settings from `first` on, as many as one pass has.
void add_settings(const RestModel& m, const Posture& at, const Groups& groups, std::size_t first, Columns& r) {
    const Table jets = table_jets(m, at, first);
    const auto each_setting = [&](std::size_t c, const auto& with) {
        for (std::size_t a = first; a < std::min(settings_of(m, c), first + table_settings); ++a)
            with(groups.column(m, c, a), by_setting + a - first);
    };
    for (std::size_t c = 0; c < corner_count; ++c)
        each_setting(c, [&](Index column, std::size_t local) {
            const CornerJets<table_locals>& jet = jets[c];
            for (const Way& way : ways(share_of(c), of(half_tan, c)))
                r(way.at, column) +=
                    way.by * (jet.energy.and_by[way.local][local] - at.load_N[c] * jet.height.and_by[way.local][local]);
            r(of(load, c), column) = -jet.height.by[local];
            if (!at.on_stop[c]) return;
            r(of(half_tan, c), column) += at.pull_N[c] * jet.spring_length.and_by[by_half_tan][local];
            r(of(pull, c), column) = jet.spring_length.by[local];
        });
    each_element(m, jets, [&](std::size_t axle, auto, const auto& x, const Element& e) {
        for (std::size_t j = 0; j < 2; ++j)
            each_setting(2 * axle + j, [&](Index column, std::size_t local) {
                for (std::size_t i = 0; i < 2; ++i)
                    r(of(half_tan, 2 * axle + i), column) +=
                        e.rate * x.by(i, by_half_tan) * x.by(j, local) + e.force * x.and_by(i, j, local);
            });
    });
}

void set_ballasts(const RestModel& m, const ChassisPose& pose, const Groups& groups, Columns& r) {
    const Turns turns(pose);
    for (std::size_t w = 1; w < m.weights.size(); ++w) {
        const Jet<newton_locals> jet = weight_jet(m.weights[w], turns, 1.0);
        const Index column = groups.ballasts + static_cast<Index>(w) - 1;
        r(height, column) = gravity_m_per_s2;
        r(pitch, column) = jet.by[by_pitch];
        r(roll, column) = jet.by[by_roll];
        r(twist, column) = m.weights[w].share * jet.by[by_roll];
    }
}

}  // namespace

Columns by_parameters(const RestModel& m, const Posture& at) {
    const Groups groups(m);
    Columns r = Columns::Zero(unknowns, groups.end);
    for (std::size_t first = 0; first < groups.most_settings; first += table_settings)
        add_settings(m, at, groups, first, r);
    for (std::size_t c = 0; c < corner_count; ++c) r(of(load, c), groups.pads + static_cast<Index>(c)) = 1.0;
    set_ballasts(m, at.pose, groups, r);
    if (!m.twists()) r.row(twist).setZero();
    return r;
}

}  // namespace shimwise::rest_system
