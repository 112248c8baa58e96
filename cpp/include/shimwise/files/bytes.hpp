// Any plain value as bytes, and the same value from them, bit for bit: numbers, texts, lists, tables, matrices, and
// structs of these. For one version of the library: the bytes carry no names.
#pragma once

#include <Eigen/Core>
#include <array>
#include <cstring>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "shimwise/files/fields.hpp"

namespace shimwise {
namespace detail {

template <class T>
concept OneNumber = std::is_arithmetic_v<T> || std::is_enum_v<T>;
template <class T>
concept Items = requires(T& items) { items.resize(items.size()); } && !requires(T& items) { items.rows(); };
template <class T>
concept Struct = std::is_class_v<T> && !Items<T>;

struct BytesOut {
    std::string bytes;

    void put(OneNumber auto number) {
        const std::size_t at = bytes.size();
        bytes.resize(at + sizeof number);
        std::memcpy(bytes.data() + at, &number, sizeof number);
    }
    void each(const auto& items) {
        put(items.size());
        for (const auto& item : items) put(item);
    }
    void put(const Items auto& items) { each(items); }
    template <class K, class V>
    void put(const std::map<K, V>& table) {
        each(table);
    }
    template <class T, std::size_t N>
    void put(const std::array<T, N>& items) {
        for (const T& item : items) put(item);
    }
    template <class T>
    void put(const std::optional<T>& value) {
        put(value.has_value());
        if (value) put(*value);
    }
    template <class... T>
    void put(const std::variant<T...>& one) {
        put(one.index());
        std::visit([&](const auto& value) { put(value); }, one);
    }
    template <class T, int R, int C>
    void put(const Eigen::Matrix<T, R, C>& matrix) {
        put(matrix.rows());
        put(matrix.cols());
        for (const T& item : matrix.reshaped()) put(item);
    }
    template <class A, class B>
    void put(const std::pair<A, B>& both) {
        put(both.first);
        put(both.second);
    }
    template <Struct T>
    void put(const T& of) {
        std::apply([&](const auto&... field) { (put(field), ...); }, fields(of));
    }
};

struct BytesIn {
    std::string_view bytes;

    static void demand(bool holds) {
        if (!holds) throw std::invalid_argument("these are not the bytes of such a value");
    }
    template <class T>
    T next() {
        T value{};
        take(value);
        return value;
    }
    std::size_t count() {
        const auto n = next<std::size_t>();
        demand(n <= bytes.size());  // each has a byte at least
        return n;
    }
    void take(OneNumber auto& number) {
        demand(sizeof number <= bytes.size());
        bytes.copy(reinterpret_cast<char*>(&number), sizeof number);
        bytes.remove_prefix(sizeof number);
    }
    void take(Items auto& items) {
        items.resize(count());
        for (auto& item : items) take(item);
    }
    void take(std::vector<bool>& flags) {  // its items are no places to read into
        for (std::size_t n = count(); n > 0; --n) flags.push_back(next<bool>());
    }
    template <class K, class V>
    void take(std::map<K, V>& table) {
        for (std::size_t n = count(); n > 0; --n) table.insert(next<std::pair<K, V>>());
    }
    template <class T, std::size_t N>
    void take(std::array<T, N>& items) {
        for (T& item : items) take(item);
    }
    template <class T>
    void take(std::optional<T>& value) {
        if (next<bool>()) take(value.emplace());
    }
    template <class... T>
    void take(std::variant<T...>& one) {
        std::size_t left = next<std::size_t>();
        demand(left < sizeof...(T));
        (..., (left-- == 0 ? take(one.template emplace<T>()) : void()));
    }
    template <class T, int R, int C>
    void take(Eigen::Matrix<T, R, C>& matrix) {
        const auto rows = next<Eigen::Index>(), cols = next<Eigen::Index>();
        demand(rows >= 0 && cols >= 0 && (R < 0 || rows == R) && (C < 0 || cols == C));
        demand(cols == 0 || rows <= static_cast<Eigen::Index>(bytes.size()) / cols);
        matrix.resize(rows, cols);
        for (T& item : matrix.reshaped()) take(item);
    }
    template <class A, class B>
    void take(std::pair<A, B>& both) {
        take(both.first);
        take(both.second);
    }
    template <Struct T>
    void take(T& of) {
        std::apply([&](auto&... field) { (take(field), ...); }, fields(of));
    }
};

}  // namespace detail

std::string bytes_of(const auto& value) {
    detail::BytesOut out;
    out.put(value);
    return std::move(out.bytes);
}

/// Throws std::invalid_argument where the bytes are of no such value.
template <class T>
T from_bytes(std::string_view bytes) {
    detail::BytesIn in{bytes};
    T value = in.next<T>();
    detail::BytesIn::demand(in.bytes.empty());
    return value;
}

}  // namespace shimwise
