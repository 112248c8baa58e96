#include <algorithm>
#include <cmath>

#include "files/table.hpp"
#include "files/toml_reader.hpp"
#include "files/toml_text.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/files/write.hpp"
#include "shimwise/model/limits.hpp"
#include "workshop/files/setting_faults.hpp"

namespace shimwise {
namespace {

using files::Table;
using files::Wanted;
using Fault = SettingFault;

std::string full_name(const Corner& corner, const Adjuster& adjuster) {
    return std::string(corner_names[index(corner.id)]) + "." + adjuster.name;
}

template <class Suits>
std::vector<std::string> full_names(const Car& car, Suits suits) {
    std::vector<std::string> names;
    for (const Corner& corner : car.corners)
        for (const Adjuster& adjuster : corner.adjusters)
            if (suits(adjuster)) names.push_back(full_name(corner, adjuster));
    return names;
}

/// What is wrong with the first of them that cannot be; empty where all can.
std::string shims_fault(const std::vector<double>& shims) {
    for (const double thickness : shims)
        if (std::string fault = shim_fault(thickness); !fault.empty()) return fault;
    return "";
}

/// Puts settings on a car and collects what is wrong with them.
class Setter {
public:
    explicit Setter(Car& car) : car_(car) {}

    std::vector<Fault> put(const Settings& settings) {
        if (!settings.car.empty() && settings.car != car_.name)
            faults_.push_back({"", "car", "these settings are of another car: this one is \"" + car_.name + "\""});
        for (const auto& [key, turns] : settings.turns) put_turns(key, turns);
        for (const auto& [key, shims] : settings.shims_mm) put_shims(key, shims);
        for (const auto& [key, shims] : settings.box_mm) put_box(key, shims);
        for (const auto& [key, turns] : settings.turns) demand_limits("turns", key);
        for (const auto& [key, shims] : settings.shims_mm) demand_limits("shims_mm", key);
        return std::move(faults_);
    }

private:
    Adjuster* find(const std::string& key) {
        const auto place = find_adjuster(car_, key);
        return place ? &car_[place->corner].adjusters[place->adjuster] : nullptr;
    }

    void put_turns(const std::string& key, double turns) {
        Adjuster* adjuster = find(key);
        Thread* thread = adjuster ? std::get_if<Thread>(&adjuster->setting) : nullptr;
        if (!std::isfinite(turns)) faults_.push_back({"turns", key, "must be a finite number"});
        if (thread)
            thread->now_turns = turns;
        else if (adjuster)
            faults_.push_back({"turns", key, "is a stack of shims: it stands under shims_mm"});
        else
            unknown("turns", key, full_names(car_, [](const Adjuster& a) { return a.thread() != nullptr; }));
    }

    void put_shims(const std::string& key, const std::vector<double>& shims) {
        Adjuster* adjuster = find(key);
        Stack* stack = adjuster ? std::get_if<Stack>(&adjuster->setting) : nullptr;
        if (stack)
            stack->fitted_mm = shims;
        else if (adjuster)
            faults_.push_back({"shims_mm", key, "is a thread: it stands under turns"});
        else
            unknown("shims_mm", key, full_names(car_, [](const Adjuster& a) { return a.stack() != nullptr; }));
        demand_shims("shims_mm", key, shims);
    }

    void put_box(const std::string& key, const std::vector<double>& shims) {
        const auto own_box = [](const Adjuster& a) { return a.stack() != nullptr && a.stack()->box.empty(); };
        Adjuster* adjuster = find(key);
        const auto shared = car_.boxes_mm.find(key);
        if (shared != car_.boxes_mm.end())
            shared->second = shims;
        else if (adjuster && own_box(*adjuster))
            std::get<Stack>(adjuster->setting).box_mm = shims;
        else {
            std::vector<std::string> names = full_names(car_, own_box);
            for (const auto& [name, box] : car_.boxes_mm) names.push_back(name);
            faults_.push_back({"box_mm", key, "is no box of the car" + did_you_mean(key, names)});
        }
        demand_shims("box_mm", key, shims);
    }

    void demand_shims(const std::string& table, const std::string& key, const std::vector<double>& shims) {
        if (const std::string fault = shims_fault(shims); !fault.empty()) faults_.push_back({table, key, fault});
    }

    void unknown(const std::string& table, const std::string& key, const std::vector<std::string>& names) {
        faults_.push_back({table, key, "is no adjuster of the car" + did_you_mean(key, names)});
    }

    void demand_limits(const std::string& table, const std::string& key) {
        for (const Fault& fault : faults_)
            if (fault.table == table && fault.key == key) return;
        const auto place = find_adjuster(car_, key);
        if (!place) return;
        const Adjuster& adjuster = car_[place->corner].adjusters[place->adjuster];
        if (const auto broken = broken_limit(car_, place->corner, adjuster, present_setting(adjuster)))
            faults_.push_back({table, key, broken->key + ": " + broken->rule, broken});
    }

    Car& car_;
    std::vector<Fault> faults_;
};

/// A table after an empty line.
template <class Values>
std::string lines_of(std::string_view name, const Values& values) {
    files::TomlTable table;
    for (const auto& [key, value] : values) table.put(key, value);
    return "\n[" + std::string(name) + "]\n" + table.lines();
}

}  // namespace

std::vector<SettingFault> put_settings(Car& car, const Settings& settings) { return Setter(car).put(settings); }

std::optional<AdjusterPlace> find_adjuster(const Car& car, const std::string& key) {
    const auto dot = key.find('.');
    if (dot == std::string::npos) return std::nullopt;
    const auto corner = named<CornerId>(corner_names, key.substr(0, dot));
    if (!corner) return std::nullopt;
    const auto adjuster = car[*corner].find(key.substr(dot + 1));
    return adjuster ? std::optional<AdjusterPlace>({*corner, *adjuster}) : std::nullopt;
}

Settings load_settings(const std::string& path, const Car& car) {
    const Source source = read_source(path);
    const files::Document document = files::read_toml(source, "settings");
    files::Report report(source);
    Table root(&document.root, "", report);
    Settings settings;
    std::string format;
    settings.file = source.name;
    settings.origin = document.origin;
    root.read("format", format);
    root.read("car", settings.car, Wanted::required);
    std::map<std::string, Table> tables = {
        {"turns", root.table("turns")}, {"shims_mm", root.table("shims_mm")}, {"box_mm", root.table("box_mm")}};
    const auto read = [&](Table& table, auto& into) {
        for (const std::string& key : table.names()) {
            typename std::decay_t<decltype(into)>::mapped_type value{};
            if (table.read(key, value)) into[key] = value;
        }
    };
    read(tables.at("turns"), settings.turns);
    read(tables.at("shims_mm"), settings.shims_mm);
    read(tables.at("box_mm"), settings.box_mm);
    root.close();
    Car changed = car;
    for (const Fault& fault : put_settings(changed, settings))
        (fault.table.empty() ? root : tables.at(fault.table)).problem(fault.key, fault.rule);
    report.throw_if_any();
    return settings;
}

Car with_settings(Car car, const Settings& settings) {
    std::vector<Problem> problems;
    for (const Fault& fault : put_settings(car, settings)) {
        const std::string field = fault.table.empty() ? fault.key : fault.table + ".\"" + fault.key + "\"";
        problems.push_back({settings.file, 0, 0, field, "", fault.rule});
    }
    if (!problems.empty()) throw InputError(std::move(problems));
    return car;
}

Settings settings_of(const Car& car) {
    Settings settings;
    settings.car = car.name;
    settings.box_mm = car.boxes_mm;
    for (const Corner& corner : car.corners)
        for (const Adjuster& adjuster : corner.adjusters) {
            const std::string key = full_name(corner, adjuster);
            if (const Thread* thread = adjuster.thread()) {
                settings.turns[key] = thread->now_turns;
                continue;
            }
            settings.shims_mm[key] = adjuster.stack()->fitted_mm;
            if (adjuster.stack()->box.empty()) settings.box_mm[key] = adjuster.stack()->box_mm;
        }
    return settings;
}

void save_settings(const Settings& settings, const std::string& path) {
    files::TomlTable head;
    head.put("format", "shimwise-settings/1");
    head.put("car", settings.car);
    write_new_file(path, head.lines() + lines_of("turns", settings.turns) + lines_of("shims_mm", settings.shims_mm) +
                             lines_of("box_mm", settings.box_mm));
}

}  // namespace shimwise
