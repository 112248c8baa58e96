// A vector of three for any scalar (double, dual number, pack). Eigen's costs twice the time inside the motion
// templates.
#pragma once

namespace shimwise {

template <class T>
struct Vec3 {
    T x{}, y{}, z{};

    constexpr Vec3() = default;
    constexpr Vec3(T x_, T y_, T z_) : x(x_), y(y_), z(z_) {}
    template <class U>
    explicit constexpr Vec3(const Vec3<U>& other) : x(other.x), y(other.y), z(other.z) {}
};

template <class T, class U>
constexpr auto operator+(const Vec3<T>& a, const Vec3<U>& b) -> Vec3<decltype(a.x + b.x)> {
    return {a.x + b.x, a.y + b.y, a.z + b.z};
}
template <class T, class U>
constexpr auto operator-(const Vec3<T>& a, const Vec3<U>& b) -> Vec3<decltype(a.x - b.x)> {
    return {a.x - b.x, a.y - b.y, a.z - b.z};
}
template <class T>
constexpr Vec3<T> operator-(const Vec3<T>& a) {
    return {-a.x, -a.y, -a.z};
}
template <class T, class U>
constexpr auto operator*(const Vec3<T>& a, const U& s) -> Vec3<decltype(a.x * s)> {
    return {a.x * s, a.y * s, a.z * s};
}
template <class T, class U>
constexpr auto dot(const Vec3<T>& a, const Vec3<U>& b) -> decltype(a.x * b.x) {
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
template <class T, class U>
constexpr auto cross(const Vec3<T>& a, const Vec3<U>& b) -> Vec3<decltype(a.x * b.x)> {
    return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
template <class T>
constexpr T squared(const Vec3<T>& a) {
    return dot(a, a);
}

}  // namespace shimwise
