// Every item is done once, whatever the threads and chunks; what is thrown ends the work.
#include "shimwise/math/in_chunks.hpp"

#include <atomic>
#include <chrono>
#include <stdexcept>
#include <thread>

#include "catch.hpp"

using namespace shimwise;
using namespace std::chrono_literals;

namespace {

const auto nobody = [](std::size_t) {};

/// Counts how often each item is done.
std::vector<int> done(std::size_t count, std::size_t chunk, std::size_t threads) {
    std::vector<std::atomic<int>> times(count);
    in_chunks(
        count, chunk, threads,
        [&]() -> ChunkWork {
            return [&](const Chunk& part, const auto&) {
                for (std::size_t i = part.first; i < part.last; ++i) ++times[i];
            };
        },
        nobody);
    return {times.begin(), times.end()};
}

}  // namespace

TEST_CASE("every item is done once, whatever the threads and chunks") {
    for (const std::size_t count : {0UL, 1UL, 2UL, 63UL, 64UL, 65UL, 1000UL})
        for (const std::size_t chunk : {1UL, 7UL, 64UL, 5000UL})
            for (const std::size_t threads : {1UL, 2UL, 5UL, 40UL})
                CHECK(done(count, chunk, threads) == std::vector<int>(count, 1));
}

TEST_CASE("a thread has a work of its own, and at most one thread a chunk") {
    std::atomic<int> works = 0;
    const auto work_of_a_thread = [&]() -> ChunkWork {
        ++works;
        return [](const Chunk&, const auto&) {};
    };
    in_chunks(20, 10, 7, work_of_a_thread, nobody);
    CHECK(works == 2);
}

TEST_CASE("this thread watches while others work, and hears of the end") {
    std::vector<std::size_t> heard;
    std::atomic<int> worked_here = 0;
    const std::thread::id here = std::this_thread::get_id();
    in_chunks(
        6, 1, 2,
        [&]() -> ChunkWork {
            return [&](const Chunk&, const auto&) {
                worked_here += std::this_thread::get_id() == here;
                std::this_thread::sleep_for(60ms);
            };
        },
        [&](std::size_t items) {
            CHECK(std::this_thread::get_id() == here);
            heard.push_back(items);
        });
    CHECK(worked_here == 0);
    REQUIRE(heard.size() >= 2);
    CHECK(std::is_sorted(heard.begin(), heard.end()));
    CHECK(heard.front() < 6);
    CHECK(heard.back() == 6);
}

TEST_CASE("what the watch throws ends the work soon and is thrown on") {
    std::atomic<std::size_t> items = 0;
    const auto began = std::chrono::steady_clock::now();
    const auto work_of_a_thread = [&]() -> ChunkWork {
        return [&](const Chunk& part, const std::function<bool()>& stopped) {
            for (std::size_t i = part.first; i < part.last && !stopped(); ++i, ++items)
                std::this_thread::sleep_for(1ms);
        };
    };
    const auto interrupted = [](std::size_t) { throw std::runtime_error("interrupted"); };
    CHECK_THROWS_AS(in_chunks(1'000'000, 10'000, 2, work_of_a_thread, interrupted), std::runtime_error);
    CHECK(std::chrono::steady_clock::now() - began < 5s);
    CHECK(items < 10'000);
}

TEST_CASE("of several failures the one of the lowest chunk is thrown, and nothing goes on after it") {
    std::atomic<int> begun = 0;
    const auto work_of_a_thread = [&]() -> ChunkWork {
        return [&](const Chunk& part, const auto&) {
            ++begun;
            while (begun < 2) std::this_thread::yield();  // both have begun
            if (part.first == 0) std::this_thread::sleep_for(30ms);
            throw std::runtime_error(std::to_string(part.first));
        };
    };
    try {
        in_chunks(100, 10, 2, work_of_a_thread, nobody);
        FAIL("nothing was thrown");
    } catch (const std::runtime_error& failure) {
        CHECK(std::string(failure.what()) == "0");
    }
    CHECK(begun == 2);
}
