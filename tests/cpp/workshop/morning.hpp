// The demonstration car, its readings and targets, for tests to change.
#pragma once

#include <string>

#include "demo_path.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/workshop/card.hpp"

namespace shimwise {

struct Morning {
    Car car;
    Readings readings;
    Targets targets;

    Measured measured() const { return reduce(readings, car); }
    Adjuster& adjuster(CornerId id, const std::string& name) { return car[id].adjusters[*car[id].find(name)]; }
    Thread& thread(CornerId id, const std::string& name) { return std::get<Thread>(adjuster(id, name).setting); }
    Stack& stack(CornerId id, const std::string& name) { return std::get<Stack>(adjuster(id, name).setting); }
    CornerReadings& read(CornerId id) { return readings.corners[index(id)]; }
    Target& target(CornerId id, Output output) { return targets.values[{id, output}]; }
};

inline Morning wren_morning() {
    Morning m;
    m.car = load_car(testing::demo_path("wren.toml"));
    m.readings = load_readings(testing::demo_path("wren_readings.toml"), m.car);
    m.targets = load_targets(testing::demo_path("wren_targets.toml"), m.car);
    return m;
}

/// True where a sentence of the list holds all of these words.
template <class... Words>
bool said(const std::vector<std::string>& sentences, const Words&... words) {
    for (const std::string& sentence : sentences)
        if (((sentence.find(words) != std::string::npos) && ...)) return true;
    return false;
}

}  // namespace shimwise
