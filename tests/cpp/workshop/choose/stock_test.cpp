#include "shimwise/workshop/choose/stock.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <iostream>
#include <limits>
#include <map>
#include <numeric>
#include <random>
#include <stdexcept>

#include "catch.hpp"

using namespace shimwise;

namespace {

using Shims = std::vector<double>;

std::int64_t micrometres(double mm) { return std::llround(mm * 1e3); }
double sum(const Shims& shims) { return std::accumulate(shims.begin(), shims.end(), 0.0); }
Shims sorted(Shims shims) {
    std::sort(shims.begin(), shims.end(), std::greater<>());
    return shims;
}

/// Shims of one list that the other does not have, copies counted.
Shims without(const Shims& of, const Shims& take) {
    Shims left;
    const Shims a = sorted(of), b = sorted(take);
    std::set_difference(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(left), std::greater<>());
    return left;
}

std::pair<std::size_t, std::size_t> effort(const Shims& chosen, const Shims& fitted) {
    return {without(chosen, fitted).size() + without(fitted, chosen).size(), chosen.size()};
}

/// What a choice says must fit together, and come from what is there.
void check_choice(const StackChoice& choice, const Shims& fitted, const Shims& all) {
    CHECK_NEAR(choice.total_mm, sum(choice.shims_mm), 1e-9);
    CHECK(choice.shims_mm == sorted(choice.shims_mm));
    CHECK(without(choice.shims_mm, all).empty());
    CHECK(choice.add_mm == without(choice.shims_mm, fitted));
    CHECK(choice.remove_mm == without(fitted, choice.shims_mm));
}

Shims some(std::mt19937& random, unsigned least, unsigned most) {
    const Shims sizes = {0.1, 0.2, 0.3, 0.5, 1.0, 1.5};
    Shims shims(least + random() % (most - least + 1));
    for (double& shim : shims) shim = sizes[random() % sizes.size()];
    return shims;
}

Shims joined(Shims a, const Shims& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

}  // namespace

TEST_CASE("stack choices are those of trying every subset") {
    for (unsigned index = 0; index < 150; ++index) {
        std::mt19937 random(index);
        const Shims fitted = some(random, 0, 4), box = some(random, 0, 7), all = joined(fitted, box);
        std::optional<std::pair<double, double>> limits;
        if (index % 2 == 1) limits = {0.1 * double(random() % 10), 1.0 + 0.1 * double(random() % 20)};
        std::map<std::int64_t, std::pair<std::size_t, std::size_t>> oracle;
        for (unsigned bits = 0; bits < 1u << all.size(); ++bits) {
            Shims chosen;
            for (unsigned i = 0; i < all.size(); ++i)
                if (bits >> i & 1u) chosen.push_back(all[i]);
            const double total = sum(chosen);
            if (limits && !(total >= limits->first - 1e-9 && total <= limits->second + 1e-9)) continue;
            const auto [at, is_new] = oracle.try_emplace(micrometres(total), effort(chosen, fitted));
            at->second = std::min(at->second, effort(chosen, fitted));
        }
        CAPTURE(index, fitted, box);
        const std::vector<StackChoice> choices = stack_choices(fitted, box, limits);
        REQUIRE(choices.size() == oracle.size());
        std::size_t i = 0;
        for (const auto& [total, least] : oracle) {
            const StackChoice& choice = choices[i++];
            CHECK(micrometres(choice.total_mm) == total);
            CHECK(effort(choice.shims_mm, fitted) == least);
            CHECK(choice.moved() == least.first);
            check_choice(choice, fitted, all);
        }
    }
}

TEST_CASE("stacks that share a box are those of trying every assignment") {
    int possible = 0, impossible = 0;
    for (unsigned index = 0; index < 120; ++index) {
        std::mt19937 random(1000 + index);
        const std::size_t stacks = 1 + random() % 3;
        std::vector<Shims> fitted(stacks);
        const Shims box = some(random, 1, 8 - 2 * unsigned(stacks));
        Shims all = box, totals;
        for (Shims& one : fitted) {
            one = some(random, 0, 2);
            all = joined(all, one);
            totals.push_back(0.1 * double(random() % 16));
        }
        std::optional<std::pair<std::size_t, std::size_t>> oracle;
        std::vector<std::size_t> place(all.size(), 0);  // stack of a shim; `stacks`: left in the box
        for (;;) {
            std::vector<Shims> chosen(stacks);
            for (std::size_t i = 0; i < all.size(); ++i)
                if (place[i] < stacks) chosen[place[i]].push_back(all[i]);
            bool met = true;
            std::pair<std::size_t, std::size_t> total{0, 0};
            for (std::size_t s = 0; s < stacks; ++s) {
                met = met && micrometres(sum(chosen[s])) == micrometres(totals[s]);
                const auto one = effort(chosen[s], fitted[s]);
                total = {total.first + one.first, total.second + one.second};
            }
            if (met) oracle = oracle ? std::min(*oracle, total) : total;
            std::size_t i = 0;
            while (i < place.size() && ++place[i] > stacks) place[i++] = 0;
            if (i == place.size()) break;
        }
        CAPTURE(index, fitted, box, totals);
        const auto found = stack_together(fitted, box, totals);
        REQUIRE(found.has_value() == oracle.has_value());
        (found ? possible : impossible) += 1;
        if (!found) continue;
        REQUIRE(found->size() == stacks);
        std::pair<std::size_t, std::size_t> total{0, 0};
        Shims used;
        for (std::size_t s = 0; s < stacks; ++s) {
            const StackChoice& choice = (*found)[s];
            CHECK_NEAR(choice.total_mm, totals[s], 1e-9);
            check_choice(choice, fitted[s], all);
            const auto one = effort(choice.shims_mm, fitted[s]);
            total = {total.first + one.first, total.second + one.second};
            used = joined(used, choice.shims_mm);
        }
        CHECK(without(used, all).empty());
        CHECK(total == *oracle);
    }
    CHECK(possible > 20);
    CHECK(impossible > 20);
}

TEST_CASE("two stacks cannot have the same shim") {
    const Shims box = {0.5};
    CHECK(stack_choices({1.0}, box, std::nullopt).size() == 4);
    CHECK(stack_together({{1.0}, {1.0}}, box, {1.5, 1.0}));
    CHECK_FALSE(stack_together({{1.0}, {1.0}}, box, {1.5, 1.5}));
    const auto swapped = stack_together({{1.0}, {0.5}}, {}, {0.5, 1.0});
    REQUIRE(swapped);
    CHECK((*swapped)[0].moved() + (*swapped)[1].moved() == 4);
}

TEST_CASE("totals that differ by rounding are one, and limits include their ends") {
    const auto choices = stack_choices({0.1, 0.2}, {0.3}, std::pair(0.3, 0.3));
    REQUIRE(choices.size() == 1);
    CHECK(choices[0].total_mm == 0.3);
    CHECK(choices[0].moved() == 0);
    CHECK(stack_choices({}, {}, std::nullopt).size() == 1);
    CHECK(stack_choices({}, {}, std::pair(0.1, 1.0)).empty());
}

TEST_CASE("a box of twenty shims measured to the micrometre") {
    std::mt19937 random(20);
    Shims box(20);
    for (double& shim : box) shim = 0.05 + 0.001 * double(random() % 1500);
    const Shims fitted = {1.0, 0.5, 0.2};
    const auto choices = stack_choices(fitted, box, std::pair(0.0, 6.0));
    std::cout << "20 shims of different thickness: " << choices.size() << " totals\n";
    CHECK(choices.size() > 3000);
    CHECK(choices.size() <= 6001);
    for (std::size_t i = 1; i < choices.size(); ++i) CHECK(choices[i].total_mm > choices[i - 1].total_mm + 1e-9);
    const std::vector<Shims> each = {fitted, {1.0}, {0.5}, {0.2, 0.2}};
    const Shims totals = {box[0] + box[1], box[2] + box[3] + 0.5, box[4] + 0.2, box[5] + box[6] + box[7]};
    const auto four = stack_together(each, box, totals);
    REQUIRE(four);
    for (std::size_t s = 0; s < 4; ++s) CHECK_NEAR((*four)[s].total_mm, totals[s], 1e-9);
}

TEST_CASE("four stacks and a shared box of twenty: the answer and the refusal both end") {
    Shims box;
    for (double shim : {0.1, 0.2, 0.3, 0.5, 1.0}) box.insert(box.end(), 4, shim);
    const std::vector<Shims> each(4, Shims{1.0, 0.5, 0.2});
    const auto found = stack_together(each, box, {2.7, 2.6, 3.1, 3.2});
    REQUIRE(found);
    std::size_t moved = 0;
    for (const StackChoice& choice : *found) moved += choice.moved();
    CHECK(moved == 9);  // by hand: 1.0; 0.5, 0.3 and 0.1; 1.0, 0.3 and 0.1; 1.0 and 0.5
    // All that is there is 15.2.
    CHECK(stack_together(each, box, {3.8, 3.8, 3.8, 3.8}));
    CHECK(stack_together(each, box, {4.4, 4.1, 3.9, 2.8}));
    CHECK_FALSE(stack_together(each, box, {3.8, 3.8, 3.8, 3.9}));
    // There are four shims of 0.1.
    CHECK(stack_together(std::vector<Shims>(4), box, Shims(4, 0.1)));
    CHECK_FALSE(stack_together(std::vector<Shims>(5), box, Shims(5, 0.1)));
}

TEST_CASE("where a total is made in more ways than are kept, those that move least are") {
    Shims box;
    for (int i = 0; i < 60; ++i) box.push_back(0.1 + 0.001 * (i * 7 % 41 - 20) + 0.1 * (i % 4));
    const std::vector<Shims> each(8, Shims{1.0, 2.0});
    const auto as_it_stands = stack_together(each, box, Shims(8, 3.0));
    REQUIRE(as_it_stands);
    for (const StackChoice& choice : *as_it_stands) CHECK(choice.moved() == 0);
}

TEST_CASE("a thickness that is none is refused") {
    CHECK_THROWS_AS(stack_choices({0.0}, {}, std::nullopt), std::invalid_argument);
    CHECK_THROWS_AS(stack_choices({}, {-0.1}, std::nullopt), std::invalid_argument);
    CHECK_THROWS_AS(stack_choices({}, {std::numeric_limits<double>::quiet_NaN()}, std::nullopt), std::invalid_argument);
    CHECK_THROWS_AS(stack_together({{0.1}}, {}, {}), std::invalid_argument);
}

TEST_CASE("shims are taken out of a pool one by one, each copy once, until one is missing") {
    Shims pool = {0.5, 0.2, 0.5};
    CHECK_FALSE(take(pool, {0.5, 0.2}));
    CHECK(pool == Shims{0.5});
    CHECK(take(pool, {0.5, 0.5}).value() == 0.5);
    CHECK(pool.empty());
    CHECK_FALSE(take(pool, {}));
}
