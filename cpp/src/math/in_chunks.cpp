#include "shimwise/math/in_chunks.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace shimwise {
namespace {

constexpr std::chrono::milliseconds watched_every(50);

/// What the threads share.
class Shared {
public:
    Shared(std::size_t count, std::size_t chunk, std::size_t threads)
        : count_(count), chunk_(chunk), running_(threads) {}

    void run(const std::function<ChunkWork()>& work_of_a_thread) {
        std::size_t first = 0;
        try {
            const ChunkWork work = work_of_a_thread();
            const std::function<bool()> stopped = [this] { return stop_.load(std::memory_order_relaxed); };
            while (!stopped() && (first = next_.fetch_add(chunk_)) < count_) {
                const Chunk part = {first, std::min(first + chunk_, count_)};
                work(part, stopped);
                done_.fetch_add(part.last - part.first);
            }
        } catch (...) {
            fail(first, std::current_exception());
        }
        const std::lock_guard lock(mutex_);
        if (--running_ == 0) ended_.notify_one();
    }

    void wait(const std::function<void(std::size_t)>& watch) {
        std::unique_lock lock(mutex_);
        while (!ended_.wait_for(lock, watched_every, [this] { return running_ == 0; })) {
            lock.unlock();
            watch(done_.load());
            lock.lock();
        }
    }

    void stop() { stop_ = true; }
    std::size_t done() const { return done_.load(); }
    std::exception_ptr failure() const { return failure_; }

private:
    void fail(std::size_t first, std::exception_ptr why) {
        const std::lock_guard lock(mutex_);
        if (!failure_ || first < failed_at_) {
            failure_ = std::move(why);
            failed_at_ = first;
        }
        stop_ = true;
    }

    const std::size_t count_, chunk_;
    std::atomic<std::size_t> next_ = 0, done_ = 0;
    std::atomic<bool> stop_ = false;
    std::mutex mutex_;
    std::condition_variable ended_;
    std::size_t running_;
    std::exception_ptr failure_;
    std::size_t failed_at_ = 0;
};

}  // namespace

void in_chunks(std::size_t count, std::size_t chunk, std::size_t threads,
               const std::function<ChunkWork()>& work_of_a_thread, const std::function<void(std::size_t)>& watch) {
    const std::size_t chunks = (count + chunk - 1) / chunk;
    threads = std::clamp<std::size_t>(threads, 1, std::max<std::size_t>(chunks, 1));
    Shared shared(count, chunk, threads);
    {
        std::vector<std::jthread> running;  // joined where this block ends
        try {
            for (std::size_t t = 0; t < threads; ++t) running.emplace_back([&] { shared.run(work_of_a_thread); });
            shared.wait(watch);
        } catch (...) {
            shared.stop();
            throw;
        }
    }
    if (shared.failure()) std::rethrow_exception(shared.failure());
    watch(shared.done());
}

}  // namespace shimwise
