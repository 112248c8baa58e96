#include "shimwise/workshop/choose/effect_table.hpp"

#include <optional>

#include "shimwise/error.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "workshop/turn_units.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Changes = std::vector<double>;

void add_derivative(std::vector<EffectRow>& rows, std::size_t variable, Per per, double amount,
                    const Changes& per_unit) {
    EffectRow row = {variable, per, amount, per_unit};
    for (double& change : row.change) change *= amount;
    rows.push_back(std::move(row));
}

/// The rows of one adjuster. `stepped(per, amount_mm)`: the true difference of a step, or nothing.
template <class Stepped>
void add_rows(std::vector<EffectRow>& rows, const Car& car, const Adjuster& adjuster, std::size_t variable,
              const Changes& per_mm, const Stepped& stepped) {
    if (const Thread* thread = adjuster.thread()) add_derivative(rows, variable, Per::turn, thread->lead_mm(), per_mm);
    const auto [up_mm, down_mm] = one_step_mm(car, adjuster);
    for (const auto& [per, amount_mm] : {std::pair(Per::step_up, up_mm), std::pair(Per::step_down, down_mm)}) {
        if (amount_mm == 0.0) continue;
        if (std::optional<Changes> change = stepped(per, amount_mm))
            rows.push_back({variable, per, amount_mm, std::move(*change)});
    }
    add_derivative(rows, variable, Per::mm, 1.0, per_mm);
}

template <class After, class Before>
Changes difference(const After& after, const Before& before) {
    Changes change(after.begin(), after.end());
    for (std::size_t o = 0; o < change.size(); ++o) change[o] -= before[o];
    return change;
}

/// `stands(model)`: the state with other settings.
template <class Stands>
void fill(RestTable& table, const RestModel& m, const Eigen::MatrixXd& rates, const Stands& stands) {
    const Changes now = row(table.state.values, table.outputs);
    for (std::size_t v = 0; v < table.variables.size(); ++v) {
        const RestVariable& variable = table.variables[v];
        const auto column = rates.col(static_cast<Index>(v));
        const Changes per_unit(column.begin(), column.end());
        if (variable.of == RestVariable::Of::rack && m.car.rack->mm_per_turn != 0.0)
            add_derivative(table.rows, v, Per::turn, m.car.rack->mm_per_turn, per_unit);
        if (variable.of != RestVariable::Of::adjuster) {
            add_derivative(table.rows, v, variable.of == RestVariable::Of::ballast ? Per::kg : Per::mm, 1.0, per_unit);
            continue;
        }
        const Adjuster& adjuster = m.car.corners[variable.corner].adjusters[variable.index];
        const auto stepped = [&](Per per, double amount_mm) -> std::optional<Changes> {
            RestModel after = m;
            after.setups[variable.corner].amounts_mm[variable.index] += amount_mm;
            try {
                return difference(row(stands(after).values, table.outputs), now);
            } catch (const OutOfReach& failure) {
                table.left_out.push_back(variable.key + ", " + row_name(adjuster, per) + ": " + failure.what());
                return std::nullopt;
            }
        };
        add_rows(table.rows, m.car, adjuster, v, per_unit, stepped);
    }
}

/// `has_flats(row)`: of rows per turn.
template <class HasFlats>
void insert_flats(std::vector<EffectRow>& rows, const HasFlats& has_flats) {
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (rows[i].per != Per::turn || !has_flats(rows[i])) continue;
        EffectRow row = rows[i];
        row.per = Per::flat;
        row.amount /= flats_per_turn;
        for (double& change : row.change) change /= flats_per_turn;
        rows.insert(rows.begin() + static_cast<std::ptrdiff_t>(i + 1), std::move(row));
    }
}

}  // namespace

EffectTable effects(const Car& car, CornerId id, Held held, double travel_mm, double rack_mm, const Frame& frame) {
    const Corner& corner = car[id];
    const Setup now = setup(corner, rack_mm);
    EffectTable table;
    table.hold = {held, frame.z};
    table.held_value = present_value(now, table.hold, travel_mm);
    const Rates r = rates(now, table.hold, table.held_value, frame);
    table.values = r.values;
    for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
        const auto stepped = [&](Per, double amount_mm) -> std::optional<Changes> {
            Setup after = now;
            after.amounts_mm[a] += amount_mm;
            return difference(outputs_at(after, table.hold, table.held_value, frame), r.values);
        };
        add_rows(table.rows, car, corner.adjusters[a], a, {r.per_mm[a].begin(), r.per_mm[a].end()}, stepped);
    }
    return table;
}

RestTable rest_table(const RestModel& m, const PadHeights& pads_mm) {
    RestTable table = {rest(m, pads_mm), rest_outputs(m), rest_variables(m), {}, {}};
    const Eigen::MatrixXd rates = rest_rates(m, table.state, pads_mm, table.outputs, table.variables);
    fill(table, m, rates, [&](const RestModel& after) { return rest(after, pads_mm); });
    return table;
}

RestTable solid_table(const RestModel& m, const PadHeights& pads_mm, const StrutLengths& struts_mm) {
    RestTable table = {on_solid_struts(m, pads_mm, struts_mm).stands, solid_outputs(m), rest_variables(m), {}, {}};
    const Eigen::MatrixXd rates = solid_rates(m, table.state, pads_mm, table.outputs, table.variables);
    fill(table, m, rates, [&](const RestModel& after) { return on_solid_struts(after, pads_mm, struts_mm).stands; });
    return table;
}

EffectTable with_flats(EffectTable table) {
    insert_flats(table.rows, [](const EffectRow&) { return true; });
    return table;
}

RestTable with_flats(RestTable table) {
    insert_flats(table.rows,
                 [&](const EffectRow& row) { return table.variables[row.variable].of == RestVariable::Of::adjuster; });
    return table;
}

std::string_view way_words(const Adjuster& adjuster, double amount_mm) {
    if (adjuster.stack()) return amount_mm < 0.0 ? pack_ways.down : pack_ways.up;
    const Ways ways = thread_ways(adjuster);
    return (amount_mm < 0.0) == (adjuster.thread()->lead_mm() < 0.0) ? ways.up : ways.down;
}

std::string row_name(const Adjuster& adjuster, Per per) {
    const Ways ways = adjuster.stack() ? pack_ways : thread_ways(adjuster);
    switch (per) {
        case Per::turn:
            return "turn";
        case Per::flat:
            return "flat";
        case Per::mm:
            return "mm";
        case Per::kg:
            return "kg";
        case Per::step_up:
            return "step " + std::string(ways.up);
        default:
            return "step " + std::string(ways.down);
    }
}

}  // namespace shimwise
