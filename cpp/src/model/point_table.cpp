#include "shimwise/model/point_table.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "files/shown.hpp"

namespace shimwise {
namespace {

using Names = std::vector<std::string_view>;

struct Part {
    std::string_view name;
    Names points;
};
const std::array<Part, 3> whole_parts = {
    {{"a wishbone", {"upper_wishbone.front", "upper_wishbone.rear", "upper_wishbone.outer"}},
     {"a wishbone", {"lower_wishbone.front", "lower_wishbone.rear", "lower_wishbone.outer"}},
     {"a track rod", {"track_rod.inner", "track_rod.outer"}}}};

std::string name_of(CornerId corner) { return std::string(corner_names[index(corner)]); }
std::string name_of(const PointRow& row) { return name_of(row.corner) + "." + row.point; }
bool is_place(const PointRow& row) { return row.at_mm && row.point != axis_direction_name; }

class Checker {
public:
    Checker(std::string file, const std::vector<PointRow>& rows) : file_(std::move(file)) {
        for (const PointRow& row : rows) {
            if (const PointRow* first = find(row.corner, row.point))
                fault(row.line, name_of(row), "stands in line " + std::to_string(first->line) + " already");
            else
                rows_.push_back(row);
        }
    }

    std::vector<Problem> problems(bool all_named) {
        if (!units()) return std::move(problems_);
        sides();
        axles();
        if (all_named)
            for (const CornerId left : {CornerId::front_left, CornerId::rear_left}) {
                parts(left);
                right_side(left, left == CornerId::front_left ? CornerId::front_right : CornerId::rear_right);
            }
        return std::move(problems_);
    }

private:
    void fault(int line, const std::string& field, const std::string& rule, const std::string& value = "") {
        problems_.push_back({file_, line, 0, field, value, rule});
    }

    const PointRow* find(CornerId corner, std::string_view point) const {
        const auto there = std::find_if(rows_.begin(), rows_.end(), [&](const PointRow& row) {
            return row.corner == corner && row.point == point;
        });
        return there == rows_.end() ? nullptr : &*there;
    }

    const PointRow* placed(CornerId corner, std::string_view point) const {
        const PointRow* row = find(corner, point);
        return row && row->at_mm ? row : nullptr;
    }

    /// Whether the numbers can be mm: a car is not so small.
    bool units() {
        constexpr double metres_mm = 10.0, inches_mm = 150.0;
        double farthest_mm = -1.0;
        for (const PointRow& row : rows_)
            if (is_place(row))
                for (const double mm : {row.at_mm->x, row.at_mm->y, row.at_mm->z})
                    farthest_mm = std::max(farthest_mm, std::fabs(mm));
        if (farthest_mm < 0.0 || !(farthest_mm < inches_mm)) return true;
        fault(0, "",
              "no number is beyond " + files::shown(farthest_mm) + ": are they " +
                  (farthest_mm < metres_mm ? "metres" : "inches or centimetres") + "? x_mm, y_mm and z_mm are in mm");
        return false;
    }

    void sides() {
        std::vector<const PointRow*> wrong;
        bool any_right = false;
        for (const PointRow& row : rows_) {
            const auto point = named<Point>(point_names, row.point);
            if (!is_place(row) || (point && may_cross(*point))) continue;
            const double outboard_mm = is_left(row.corner) ? row.at_mm->y : -row.at_mm->y;
            if (outboard_mm > 0.0)
                any_right = true;
            else
                wrong.push_back(&row);
        }
        constexpr std::size_t told_one_by_one = 2;
        if (wrong.size() > told_one_by_one && !any_right) {
            fault(0, "", "every y is on the wrong side: y points to the left here, turn the sign of the whole column");
            return;
        }
        for (const PointRow* row : wrong)
            fault(row->line, name_of(*row) + " y_mm",
                  std::string("is on the wrong side: y is ") +
                      (is_left(row->corner) ? "above 0 on the left" : "below 0 on the right"),
                  files::shown(row->at_mm->y));
    }

    /// Wishbones whose front lies behind their rear, all of them: at least two.
    bool runs_to_the_rear() const {
        int count = 0;
        for (std::size_t c = 0; c < corner_count; ++c)
            for (std::size_t wishbone = 0; wishbone < 2; ++wishbone) {
                const Names& points = whole_parts[wishbone].points;
                const PointRow* front = placed(static_cast<CornerId>(c), points[0]);
                const PointRow* rear = placed(static_cast<CornerId>(c), points[1]);
                if (!front || !rear) continue;
                if (!(front->at_mm->x < rear->at_mm->x)) return false;
                ++count;
            }
        return count > 1;
    }

    void axles() {
        if (runs_to_the_rear()) {
            fault(0, "",
                  "every wishbone's front lies behind its rear: x points forward, turn the sign of the whole column");
            return;
        }
        for (const std::string_view point : {"wheel.centre", "lower_wishbone.outer"}) {
            const PointRow* front = placed(CornerId::front_left, point);
            const PointRow* rear = placed(CornerId::rear_left, point);
            if (!front || !rear) continue;
            if (!(rear->at_mm->x < front->at_mm->x))
                fault(rear->line, name_of(*rear) + " x_mm",
                      "must lie behind the front axle (x " + files::shown(front->at_mm->x) + " in line " +
                          std::to_string(front->line) + ")",
                      files::shown(rear->at_mm->x));
            return;
        }
    }

    /// The first line that holds one of the points.
    std::optional<int> first_line(CornerId corner, const Names& points) const {
        std::optional<int> first;
        for (const std::string_view point : points)
            if (const PointRow* row = find(corner, point)) first = std::min(row->line, first.value_or(row->line));
        return first;
    }

    void demand_all(int line, CornerId corner, const Names& points, const std::string& rule) {
        std::string missing;
        for (const std::string_view point : points)
            if (!find(corner, point)) missing += (missing.empty() ? "" : ", ") + std::string(point);
        if (!missing.empty()) fault(line, name_of(corner), "without " + missing + ": " + rule);
    }

    void parts(CornerId corner) {
        for (const Part& part : whole_parts)
            if (const auto line = first_line(corner, part.points))
                demand_all(*line, corner, part.points, std::string(part.name) + " is given whole or not at all");
        const Names rocker(rocker_rows.begin(), rocker_rows.end());
        const Names direct(direct_spring_rows.begin(), direct_spring_rows.end());
        Names of_a_rocker(rocker.begin(), rocker.end() - 1);  // a spring without one has its chassis eye too
        of_a_rocker.emplace_back("rocker.drop_link");
        if (const auto line = first_line(corner, of_a_rocker)) {
            demand_all(*line, corner, rocker, "pushrod, rocker and spring are given together");
            refuse(corner, "spring.outer", "a spring on a rocker has its outer eye at rocker.spring");
            refuse(corner, "drop_link.outer", "with a rocker the drop link is at rocker.drop_link");
        } else if (const auto eye = first_line(corner, {direct[0], direct[1], "drop_link.outer"})) {
            demand_all(*eye, corner, direct, "a spring without rocker is given by both eyes");
        }
    }

    void refuse(CornerId corner, std::string_view point, const std::string& rule) {
        if (const PointRow* row = find(corner, point)) fault(row->line, name_of(*row), rule);
    }

    void right_side(CornerId left, CornerId right) {
        std::vector<const PointRow*> alone;
        bool any_left = false;
        for (const PointRow& row : rows_) {
            any_left = any_left || row.corner == left;
            if (row.corner == right && !find(left, row.point)) alone.push_back(&row);
        }
        if (!alone.empty() && !any_left) {
            fault(alone.front()->line, name_of(right),
                  "is given without " + name_of(left) + ": turn the sign of y, and call the rows " + name_of(left));
            return;
        }
        for (const PointRow* row : alone)
            fault(row->line, name_of(*row),
                  "is given on the right alone: " + name_of(left) + " needs it too, or neither");
    }

    std::string file_;
    std::vector<PointRow> rows_;  // in the order of their lines, each point once
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<std::string> table_point_names() {
    std::vector<std::string> names(point_names.begin(), point_names.end());
    names.emplace(names.begin() + index(Point::rocker_axis_point) + 1, axis_direction_name);
    return names;
}

std::vector<Problem> point_table_problems(const std::string& file, const std::vector<PointRow>& rows, bool all_named) {
    return Checker(file, rows).problems(all_named);
}

}  // namespace shimwise
