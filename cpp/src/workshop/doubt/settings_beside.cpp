#include <algorithm>
#include <filesystem>

#include "shimwise/error.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/doubt/doubting.hpp"

namespace shimwise {
namespace {

namespace fs = std::filesystem;

constexpr std::uintmax_t largest_file = 1 << 20;

/// Every settings file of this car in its file's folder; what is none, or of another car, is passed over.
std::vector<Settings> settings_in_folder(const Car& car) {
    std::vector<Settings> found;
    std::error_code ignored;
    const fs::path folder = fs::path(car.file).parent_path();
    for (const fs::directory_entry& entry : fs::directory_iterator(folder.empty() ? "." : folder, ignored)) {
        if (entry.path().extension() != ".toml" || !entry.is_regular_file(ignored)) continue;
        if (entry.file_size(ignored) > largest_file) continue;
        try {
            found.push_back(load_settings(entry.path().string(), car));
        } catch (const InputError&) {
            continue;
        }
    }
    std::ranges::sort(found, {}, &Settings::file);
    return found;
}

}  // namespace

std::vector<Doubt> settings_beside(const Car& car) {
    const Settings now = settings_of(car);
    std::vector<std::string> names;
    for (const Settings& beside : settings_in_folder(car)) {
        const Settings then = settings_of(with_settings(car, beside));
        if (then.turns == now.turns && then.shims_mm == now.shims_mm) return {};
        names.push_back(fs::path(beside.file).filename().string());
    }
    if (names.empty()) return {};
    Doubting doubting(car.file);
    doubting.said("settings", "the car file's own settings are used, and beside it " +
                                  std::string(names.size() == 1 ? "lies " : "lie ") + listed_words(names) +
                                  " with others of this car; usually the last card's settings are how it stands: "
                                  "name them with --settings, or every turn is counted from the wrong place");
    return doubting.take();
}

}  // namespace shimwise
