// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/primaries.h"

#include <cmath>
#include <cstddef>

namespace paleproof::color {
namespace {

using Vector3 = std::array<double, 3>;

// ICC.1:2010, 7.2.16: the illuminant of the profile connection space.
constexpr Vector3 d50 = {0.9642, 1.0, 0.8249};

// Bradford cone response (ICC.1:2010, annex E).
constexpr Matrix3 bradford = {
    {{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}};

Vector3 product(const Matrix3& m, const Vector3& v) {
    Vector3 result{};
    for (std::size_t i = 0; i < 3; ++i)
        result[i] = m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2];
    return result;
}

Vector3 xyz(double x, double y) { return {x / y, 1.0, (1.0 - x - y) / y}; }

}  // namespace

Matrix3 product(const Matrix3& a, const Matrix3& b) {
    Matrix3 result{};
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t j = 0; j < 3; ++j) {
            result[i][j] = a[i][0] * b[0][j] + a[i][1] * b[1][j] + a[i][2] * b[2][j];
        }
    }
    return result;
}

std::optional<Matrix3> inverse(const Matrix3& m) {
    Matrix3 cofactors{};
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t j = 0; j < 3; ++j) {
            const std::size_t a = (i + 1) % 3, b = (i + 2) % 3, c = (j + 1) % 3, d = (j + 2) % 3;
            cofactors[i][j] = m[a][c] * m[b][d] - m[a][d] * m[b][c];
        }
    }
    const double determinant =
        m[0][0] * cofactors[0][0] + m[0][1] * cofactors[0][1] + m[0][2] * cofactors[0][2];
    if (!(std::abs(determinant) > 1e-6)) return std::nullopt;
    Matrix3 result{};
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t j = 0; j < 3; ++j) result[i][j] = cofactors[j][i] / determinant;
    }
    return result;
}

std::optional<Matrix3> to_xyz_d50(const Chromaticities& p) {
    for (const double y : {p.white_y, p.red_y, p.green_y, p.blue_y}) {
        if (!(y > 1e-4 && y <= 1.0)) return std::nullopt;
    }
    const Vector3 red = xyz(p.red_x, p.red_y);
    const Vector3 green = xyz(p.green_x, p.green_y);
    const Vector3 blue = xyz(p.blue_x, p.blue_y);
    const Vector3 white = xyz(p.white_x, p.white_y);
    Matrix3 columns{};
    for (std::size_t i = 0; i < 3; ++i) columns[i] = {red[i], green[i], blue[i]};
    const std::optional<Matrix3> solved = inverse(columns);
    if (!solved) return std::nullopt;
    // How much of each primary makes white: all positive exactly when white lies in the triangle.
    const Vector3 amount = product(*solved, white);
    for (std::size_t j = 0; j < 3; ++j) {
        if (!(amount[j] > 0.0)) return std::nullopt;
        for (std::size_t i = 0; i < 3; ++i) columns[i][j] *= amount[j];
    }
    const Vector3 from = product(bradford, white);
    const Vector3 to = product(bradford, d50);
    Matrix3 scale{};
    for (std::size_t i = 0; i < 3; ++i) {
        if (!(from[i] > 1e-6)) return std::nullopt;
        scale[i][i] = to[i] / from[i];
    }
    const Matrix3 adapt = product(*inverse(bradford), product(scale, bradford));
    return product(adapt, columns);
}

const Matrix3& srgb_from_xyz_d50() {
    static const Matrix3 matrix = *inverse(*to_xyz_d50(Chromaticities{}));
    return matrix;
}

}  // namespace paleproof::color
