#include "shimwise/workshop/files/skid.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "files/shown.hpp"
#include "files/table.hpp"
#include "files/toml_reader.hpp"
#include "shimwise/math/least_squares.hpp"
#include "shimwise/model/check.hpp"

namespace shimwise {
namespace {

using files::shown;
using files::Table;
using files::Wanted;

constexpr double swollen_mm = 0.5;          // over a new one, as a readings file allows it
constexpr double finest_mm = 1e-4;          // of a gauge
constexpr double surely = 3.0;              // standard uncertainties of a difference: no sound gauge in 700 pairs
constexpr double farthest_km = 1e5;         // on one skid, and more
constexpr double shortest_km = 0.1;         // a run that wears anything
constexpr double farthest_point_mm = 2e4;   // from the origin, as of any point of a car
constexpr double highest_mm = 1000.0;       // of ride heights
constexpr double nearest_height_mm = 1e-3;  // and lowest

class SkidReader {
public:
    SkidReader(Table root, const Car* car, Skid& skid) : root_(std::move(root)), car_(car), skid_(skid) {}

    void read() {
        std::string format;
        root_.read("format", format);
        read_amounts();
        read_points(root_.table("points", Wanted::required));
        std::vector<Table> checks = root_.tables("check");
        const files::Value* given = root_.find("check");
        if (!given || (given->kind == files::Value::Kind::list && given->items.empty()))
            root_.problem("check", "needs a table [[check]] for every time that the thickness was read");
        for (Table& check : checks) read_check(check);
        root_.close();
    }

private:
    void read_amounts() {
        if (car_ && car_->skid_new_mm) skid_.new_mm = *car_->skid_new_mm;
        skid_.new_is_common_practice = !root_.read("new_mm", skid_.new_mm) && !(car_ && car_->skid_new_mm);
        skid_.least_is_common_practice = !root_.read("least_mm", skid_.least_mm);
        const bool gauge = root_.read("gauge_uncertainty_mm", skid_.gauge_uncertainty_mm, Wanted::required);
        if (!(skid_.new_mm > 0.0))
            root_.problem("new_mm", "must be more than 0");
        else if (!(skid_.least_mm >= 0.0))
            root_.problem("least_mm", "must not be negative");
        else if (!(skid_.least_mm < skid_.new_mm))
            root_.problem("least_mm", "must be less than a new skid's " + shown(skid_.new_mm) + " mm");
        else if (gauge && !(skid_.gauge_uncertainty_mm >= finest_mm))
            root_.problem("gauge_uncertainty_mm", "must be " + shown(finest_mm) + " or more: no gauge reads finer");
        else if (gauge && !(skid_.gauge_uncertainty_mm < skid_.new_mm - skid_.least_mm))
            root_.problem("gauge_uncertainty_mm",
                          "is no less than all that may wear off, " + shown(skid_.new_mm - skid_.least_mm) + " mm");
        else
            amounts_good_ = gauge;
        if (car_ && car_->skid_new_mm && root_.has("new_mm") && !(std::abs(skid_.new_mm - *car_->skid_new_mm) <= 1e-9))
            root_.problem("new_mm", "the car file says skid_new_mm = " + shown(*car_->skid_new_mm));
    }

    void read_points(Table table) {
        for (const std::string& name : table.names()) {
            SkidPoint point{name, {}};
            const bool good = table.read(name, point.at_mm);
            const Vec3<double>& at = point.at_mm;
            if (good && !(std::max({std::abs(at.x), std::abs(at.y), std::abs(at.z)}) <= farthest_point_mm))
                table.problem(name, "lies more than 20 m from the origin");
            else if (good && car_)
                demand_over_ground(table, point);
            skid_.points.push_back(point);
        }
        if (table.given() && table.names().empty())
            root_.problem("points", "is empty: needs a point where the thickness is read, such as nose = [-100, 0, 0]");
    }

    /// Over the best plane through the four contacts as drawn.
    void demand_over_ground(Table& table, const SkidPoint& point) {
        std::vector<Vec3<double>> contacts;
        for (const Corner& corner : car_->corners) contacts.push_back(drawn_contact(corner));
        const double over_mm = point.at_mm.z - best_plane(contacts).z(point.at_mm.x, point.at_mm.y);
        if (!(over_mm > 0.0))
            table.problem(point.name, "lies " + shown(-over_mm) + " mm below the ground that " + car_->name +
                                          " is drawn on: z is that of a new skid's underside");
    }

    void read_check(Table& table) {
        SkidCheck check;
        if (!skid_.checks.empty()) check.ride_height_mm = skid_.checks.back().ride_height_mm;
        table.read("new", check.fresh);
        if (table.read("distance_km", check.distance_km, Wanted::required)) demand_distance(table, check);
        Table thickness = table.table("thickness_mm", Wanted::required);
        std::vector<std::string> points;
        for (const SkidPoint& point : skid_.points) points.push_back(point.name);
        if (points.empty()) thickness.names();  // the table that is missing or empty is said, not each name
        for (const std::string& name : points.empty() ? points : thickness.names_among(points, "point of this file")) {
            double mm = 0.0;
            if (thickness.read(name, mm)) take_thickness(thickness, name, mm, check);
        }
        if (thickness.given() && thickness.names().empty())
            table.problem("thickness_mm", "is empty: needs a thickness at a point or more");
        read_heights(table.table("ride_height_mm"), check);
        table.close();
        if (check.fresh) last_.clear();
        for (const auto& [name, mm] : check.thickness_mm)
            if (mm > 0.0) last_[name] = mm;
        skid_.checks.push_back(std::move(check));
    }

    void demand_distance(Table& table, const SkidCheck& check) {
        if (!(check.distance_km >= 0.0))
            table.problem("distance_km", "must not be negative");
        else if (!(check.distance_km <= farthest_km))
            table.problem("distance_km", "is more than " + shown(farthest_km) + " km, farther than any skid runs");
        else if (!skid_.checks.empty() && !check.fresh) {
            const double run_km = check.distance_km - skid_.checks.back().distance_km;
            if (!(run_km >= 0.0))
                table.problem("distance_km", "is less than at the check before, " +
                                                 shown(skid_.checks.back().distance_km) +
                                                 " km: distances count on, and may begin anew where new = true");
            else if (!(run_km == 0.0 || run_km >= shortest_km))
                table.problem("distance_km",
                              "is less than " + shown(shortest_km) + " km after the check before: no run");
        }
    }

    void take_thickness(Table& table, const std::string& name, double mm, SkidCheck& check) {
        const auto before = check.fresh ? last_.end() : last_.find(name);
        if (!(mm > 0.0))
            table.problem(name, "must be more than 0");
        else if (amounts_good_ && !(mm <= skid_.new_mm + swollen_mm))
            table.problem(name, "is more than " + shown(swollen_mm) + " mm thicker than a new skid's " +
                                    shown(skid_.new_mm) + " mm");
        else if (amounts_good_ && before != last_.end() && !(mm - before->second <= most_growth_mm()))
            table.problem(name, "is " + shown(mm - before->second) +
                                    " mm thicker than when it was read before, and the gauge " + "explains " +
                                    shown(most_growth_mm()) + " mm: if the skid was changed, say new = true");
        check.thickness_mm[name] = mm;
    }

    double most_growth_mm() const { return surely * std::numbers::sqrt2 * skid_.gauge_uncertainty_mm; }

    void read_heights(Table table, SkidCheck& check) {
        std::vector<std::string> points;
        if (car_)
            for (const RideHeightPoint& point : car_->ride_heights) points.push_back(point.name);
        const auto names = car_ ? table.names_among(points, "ride-height point of the car") : table.names();
        for (const std::string& name : names) {
            double mm = 0.0;
            if (!table.read(name, mm)) continue;
            if (!(mm >= nearest_height_mm))
                table.problem(name, "must be more than 0");
            else if (!(mm <= highest_mm))
                table.problem(name, "is more than " + shown(highest_mm) + " mm");
            check.ride_height_mm[name] = mm;
        }
    }

    Table root_;
    const Car* car_;
    Skid& skid_;
    bool amounts_good_ = false;
    std::map<std::string, double> last_;  // what was read last of this skid, by point
};

Skid skid_of(const Source& source, const Car* car) {
    const files::Document document = files::read_toml(source, "skid");
    files::Report report(source);
    Skid skid;
    skid.file = source.name;
    skid.origin = document.origin;
    SkidReader(Table(&document.root, "", report), car, skid).read();
    report.throw_if_any();
    return skid;
}

}  // namespace

Skid skid_from(const Source& source) { return skid_of(source, nullptr); }

Skid skid_from(const Source& source, const Car& car) { return skid_of(source, &car); }

}  // namespace shimwise
