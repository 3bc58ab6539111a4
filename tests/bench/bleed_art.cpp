// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "bleed_art.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <functional>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "codec/read_face.h"
#include "core/error.h"

namespace paleproof::bench {
namespace {

using Color = std::array<double, 3>;
using Paint = std::function<Color(double x, double y)>;

/// Repeatable number in 0..1 for a lattice point (integer hash of Bob Jenkins' kind, own
/// constants).
double dice(int x, int y, unsigned seed) {
    auto h = static_cast<unsigned>(x) * 374761393U + static_cast<unsigned>(y) * 668265263U +
             seed * 2246822519U;
    h = (h ^ (h >> 13U)) * 1274126177U;
    h = (h ^ (h >> 16U)) * 2654435761U;
    return static_cast<double>((h ^ (h >> 15U)) & 0xFFFFFFU) / 16777216.0;
}

double smooth(double t) { return t * t * (3.0 - 2.0 * t); }

double mix(double a, double b, double t) { return a + (b - a) * t; }

Color mix(const Color& a, const Color& b, double t) {
    return {mix(a[0], b[0], t), mix(a[1], b[1], t), mix(a[2], b[2], t)};
}

double value_noise(double x, double y, unsigned seed) {
    const double fx = std::floor(x);
    const double fy = std::floor(y);
    const int ix = static_cast<int>(fx);
    const int iy = static_cast<int>(fy);
    const double tx = smooth(x - fx);
    const double ty = smooth(y - fy);
    return mix(mix(dice(ix, iy, seed), dice(ix + 1, iy, seed), tx),
               mix(dice(ix, iy + 1, seed), dice(ix + 1, iy + 1, seed), tx), ty);
}

/// Noise summed over octaves, 0..1.
double clouds(double x, double y, unsigned seed, int octaves = 6) {
    double sum = 0.0;
    double weight = 0.5;
    for (int i = 0; i < octaves; ++i) {
        sum += weight * value_noise(x, y, seed + static_cast<unsigned>(i));
        x *= 2.03;
        y *= 2.03;
        weight *= 0.5;
    }
    return sum;
}

/// Share of ink of a soft-edged shape whose signed distance is `d` pixels (inside negative).
double ink(double d) { return std::clamp(0.5 - d, 0.0, 1.0); }

Color tint(unsigned seed, int index) {
    return {40.0 + 190.0 * dice(index, 1, seed), 40.0 + 190.0 * dice(index, 2, seed),
            40.0 + 190.0 * dice(index, 3, seed)};
}

/// The two nearest of jittered lattice points: distances and the index of the nearest.
struct Cell {
    double first = 1e9, second = 1e9;
    int index = 0;
};

Cell cell(double x, double y, double pitch, unsigned seed) {
    Cell result;
    const int ix = static_cast<int>(std::floor(x / pitch));
    const int iy = static_cast<int>(std::floor(y / pitch));
    for (int j = iy - 1; j <= iy + 1; ++j) {
        for (int i = ix - 1; i <= ix + 1; ++i) {
            const double px = (i + dice(i, j, seed)) * pitch;
            const double py = (j + dice(i, j, seed + 77)) * pitch;
            const double d = std::hypot(x - px, y - py);
            if (d < result.first) {
                result.second = result.first;
                result.first = d;
                result.index = i * 131 + j * 17;
            } else {
                result.second = std::min(result.second, d);
            }
        }
    }
    return result;
}

Paint low_poly(unsigned seed) {
    return [seed](double x, double y) {
        const Cell c = cell(x, y, 95.0, seed);
        const double shade = 0.75 + 0.5 * dice(c.index, 9, seed);
        const Color sky = mix(tint(seed, 1), tint(seed, 2), y / 1126.0);
        return Color{sky[0] * shade, sky[1] * shade, sky[2] * shade};
    };
}

Paint foliage(unsigned seed) {
    return [seed](double x, double y) {
        Color color = mix(tint(seed, 3), Color{20, 40, 25}, 0.6);
        for (int layer = 0; layer < 3; ++layer) {
            const double pitch = 60.0 - 12.0 * layer;
            const int ix = static_cast<int>(std::floor(x / pitch));
            const int iy = static_cast<int>(std::floor(y / pitch));
            for (int j = iy - 1; j <= iy + 1; ++j) {
                for (int i = ix - 1; i <= ix + 1; ++i) {
                    const unsigned s = seed + static_cast<unsigned>(layer) * 11U;
                    const double a = 2.0 * std::numbers::pi * dice(i, j, s + 2);
                    const double dx = x - (i + dice(i, j, s)) * pitch;
                    const double dy = y - (j + dice(i, j, s + 1)) * pitch;
                    const double u = dx * std::cos(a) + dy * std::sin(a);
                    const double v = -dx * std::sin(a) + dy * std::cos(a);
                    const double half = pitch * 0.62;
                    const double width = 0.32 * half * (1.0 - (u / half) * (u / half));
                    if (std::abs(u) > half) continue;
                    const Color leaf =
                        mix(Color{30, 80, 30}, tint(s, i * 7 + j), 0.25 + 0.5 * dice(i, j, s + 3));
                    color = mix(color, leaf, ink(std::abs(v) - width));
                    color = mix(color, Color{15, 35, 15}, 0.7 * ink(std::abs(v) - 0.8));
                }
            }
        }
        return color;
    };
}

Paint halftone(unsigned seed) {
    const double angle = 0.2 + dice(1, 1, seed);
    return [seed, angle](double x, double y) {
        const double pitch = 11.0;
        const double u = (x * std::cos(angle) + y * std::sin(angle)) / pitch;
        const double v = (-x * std::sin(angle) + y * std::cos(angle)) / pitch;
        const double tone = clouds(x / 300.0, y / 300.0, seed, 3);
        const double du = u - std::floor(u) - 0.5;
        const double dv = v - std::floor(v) - 0.5;
        return mix(Color{245, 240, 225}, tint(seed, 1),
                   ink((std::hypot(du, dv) - 0.65 * tone) * pitch));
    };
}

Paint woodgrain(unsigned seed) {
    return [seed](double x, double y) {
        const double bend = 60.0 * clouds(x / 500.0, y / 900.0, seed, 3);
        const double ring = std::sin((x + bend * 4.0) / 9.0) * 0.5 + 0.5;
        const double fiber = clouds(x / 3.0, y / 90.0, seed + 5, 4);
        return mix(Color{150, 100, 55}, Color{95, 55, 28}, 0.55 * ring + 0.6 * fiber - 0.1);
    };
}

Paint hatching(unsigned seed) {
    const double angle = std::numbers::pi * dice(2, 2, seed);
    return [seed, angle](double x, double y) {
        const double pitch = 10.0 + 6.0 * dice(3, 3, seed);
        const double u = (x * std::cos(angle) + y * std::sin(angle)) / pitch;
        const double off = std::abs(u - std::floor(u) - 0.5) * pitch;
        return mix(Color{248, 246, 240}, Color{30, 30, 40}, ink(off - 1.6));
    };
}

Paint map(unsigned seed) {
    return [seed](double x, double y) {
        const double height = clouds(x / 330.0, y / 330.0, seed, 5);
        const double steps = height * 14.0;
        const double slope = 14.0 / 330.0;
        const double line = std::abs(steps - std::floor(steps) - 0.5) / slope * 0.5;
        Color color = height < 0.45 ? Color{160, 195, 215}
                                    : mix(Color{205, 215, 165}, Color{190, 150, 110},
                                          std::clamp((height - 0.45) * 4.0, 0.0, 1.0));
        color = mix(color, Color{90, 70, 50}, 0.6 * ink(line - 1.0));
        return color;
    };
}

Paint cloud_sky(unsigned seed) {
    return [seed](double x, double y) {
        const double c = clouds(x / 260.0, y / 170.0, seed, 7);
        return mix(mix(tint(seed, 4), tint(seed, 5), y / 1126.0), Color{250, 245, 235},
                   std::clamp((c - 0.4) * 3.0, 0.0, 1.0));
    };
}

Paint stripes(unsigned seed) {
    const double angle = std::numbers::pi * dice(5, 5, seed);
    return [seed, angle](double x, double y) {
        const double u = (x * std::cos(angle) + y * std::sin(angle)) / 70.0;
        const double edge = (u - std::floor(u)) * 70.0;
        const Color a = tint(seed, 1);
        const Color b = tint(seed, 2);
        return mix(mix(a, b, ink(std::abs(edge - 35.0) - 20.0)), Color{250, 250, 250},
                   ink(std::abs(edge - 35.0) - 3.0));
    };
}

Paint patterned_back(unsigned seed) {
    const int pitch = 24 + static_cast<int>(24 * dice(6, 6, seed));
    return [seed, pitch](double x, double y) {
        const double u = x / pitch - std::floor(x / pitch) - 0.5;
        const double v = y / pitch - std::floor(y / pitch) - 0.5;
        const double diamond = (std::abs(u) + std::abs(v) - 0.36) * pitch;
        const double ring = (std::abs(std::hypot(u, v) - 0.14)) * pitch - 1.5;
        const double lattice = std::abs(std::abs(u) - std::abs(v)) * pitch * 0.7 - 1.2;
        Color color = tint(seed, 1);
        color = mix(color, tint(seed, 2), ink(diamond));
        color = mix(color, Color{250, 245, 230}, std::max(ink(ring), ink(lattice)));
        return color;
    };
}

/// A picture in a frame: the trim cuts through a plain border, on two sides through the art.
Paint bordered(unsigned seed) {
    const Paint inside = cloud_sky(seed);
    const double noise = seed % 2 == 0 ? 0.0 : 6.0;
    return [inside, seed, noise](double x, double y) {
        const double reach = std::max(std::max(95.0 - y, y - 1126.0 + 95.0), 95.0 - x);
        const double frame = std::abs(reach) - 2.0;
        const double grain =
            noise * (dice(static_cast<int>(x * 2), static_cast<int>(y * 2), seed) - 0.5);
        const Color paper = tint(seed, 8);
        const Color border{paper[0] + grain, paper[1] + grain, paper[2] + grain};
        return mix(mix(inside(x, y), border, ink(-reach)), Color{25, 20, 20}, ink(frame));
    };
}

/// Ridges behind ridges under a sky: long slanted outlines that cross the edges.
Paint ridges(unsigned seed) {
    return [seed](double x, double y) {
        Color color = mix(tint(seed, 1), tint(seed, 2), y / 900.0);
        for (int i = 0; i < 5; ++i) {
            const double base = 250.0 + 190.0 * i;
            const double line =
                base + 260.0 * (clouds(x / (320.0 - 30.0 * i), i * 5.0, seed + 3, 5) - 0.5);
            color = mix(color, mix(tint(seed, 3), Color{15, 20, 30}, 0.2 * (i + 1)), ink(line - y));
        }
        const double grain = 14.0 * (dice(static_cast<int>(x), static_cast<int>(y), seed) - 0.5);
        return Color{color[0] + grain, color[1] + grain, color[2] + grain};
    };
}

Paint cracked(unsigned seed) {
    return [seed](double x, double y) {
        const Cell c = cell(x, y, 48.0, seed);
        const double gap = (c.second - c.first) * 0.5 - 2.2;
        const double speckle = clouds(x / 5.0, y / 5.0, seed + 9, 3);
        return mix(mix(tint(seed, 1), tint(seed, 2 + c.index % 3), 0.35 + 0.5 * speckle),
                   Color{25, 22, 20}, ink(gap));
    };
}

Paint brushwork(unsigned seed) {
    return [seed](double x, double y) {
        const double a = 6.0 * clouds(x / 400.0, y / 400.0, seed, 2);
        const double u = x * std::cos(a) + y * std::sin(a);
        const double v = -x * std::sin(a) + y * std::cos(a);
        const double stroke = clouds(u / 70.0, v / 7.0, seed + 4, 4);
        const double mass = clouds(x / 220.0, y / 220.0, seed + 8, 4);
        return mix(mix(tint(seed, 1), tint(seed, 2), std::clamp(mass * 2.2 - 0.6, 0.0, 1.0)),
                   tint(seed, 3), std::clamp(stroke * 1.6 - 0.5, 0.0, 0.8));
    };
}

Image painted(SizePx size, const Paint& paint) {
    Image image(size.width, size.height, Encoding::srgb, Ppi{300});
    for (int y = 0; y < size.height; ++y) {
        for (int x = 0; x < size.width; ++x) {
            const Color a = paint(x + 0.25, y + 0.25);
            const Color b = paint(x + 0.75, y + 0.75);
            for (std::size_t c = 0; c < 3; ++c) {
                image.row(y)[x * 3 + static_cast<int>(c)] = static_cast<std::uint8_t>(
                    std::clamp(std::lround((a[c] + b[c]) / 2.0), 0L, 255L));
            }
        }
    }
    return image;
}

Image in_color(const Image& image) {
    if (image.channels() == 3) return image;
    Image result(image.width(), image.height(), Encoding::srgb, image.ppi());
    for (std::size_t i = 0; i < image.bytes().size(); ++i) {
        for (std::size_t c = 0; c < 3; ++c) result.bytes()[3 * i + c] = image.bytes()[i];
    }
    return result;
}

Image scaled_crop(const Image& source, double scale, SizePx size) {
    const SizePx reach{
        std::min(source.width(), static_cast<int>(std::lround(size.width / scale))),
        std::min(source.height(), static_cast<int>(std::lround(size.height / scale)))};
    const Image part =
        crop(source, {(source.width() - reach.width) / 2, (source.height() - reach.height) / 2,
                      reach.width, reach.height});
    Image result(size.width, size.height, Encoding::srgb, Ppi{300});
    const cv::Mat in(part.height(), part.width(), CV_8UC3,
                     const_cast<std::uint8_t*>(part.bytes().data()));
    cv::Mat out(size.height, size.width, CV_8UC3, result.bytes().data());
    cv::resize(in, out, out.size(), 0, 0, scale < 1.0 ? cv::INTER_AREA : cv::INTER_CUBIC);
    return result;
}

}  // namespace

std::vector<OpenArt> drawn_art(SizePx size) {
    struct Kind {
        const char* name;
        Paint (*paint)(unsigned);
    };
    constexpr std::array kinds{
        Kind{"low-poly", low_poly},  Kind{"foliage", foliage},   Kind{"halftone", halftone},
        Kind{"wood", woodgrain},     Kind{"hatching", hatching}, Kind{"map", map},
        Kind{"clouds", cloud_sky},   Kind{"stripes", stripes},   Kind{"back", patterned_back},
        Kind{"border", bordered},    Kind{"ridges", ridges},     Kind{"cracked", cracked},
        Kind{"brushwork", brushwork}};
    std::vector<OpenArt> result;
    for (const Kind& kind : kinds) {
        for (unsigned seed = 1; seed <= 2; ++seed) {
            result.push_back({std::string(kind.name) + " " + std::to_string(seed), true,
                              painted(size, kind.paint(seed * 31 + 5))});
        }
    }
    return result;
}

std::vector<OpenArt> open_art(SizePx size) {
    namespace fs = std::filesystem;
    std::vector<fs::path> files;
    for (const char* folder : {"/usr/share/backgrounds/mate", "/usr/share/palapeli"}) {
        std::error_code fault;
        for (fs::recursive_directory_iterator it(folder, fault), end; !fault && it != end;
             it.increment(fault)) {
            const std::string type = it->path().extension().string();
            if (type == ".jpg" || type == ".png") files.push_back(it->path());
        }
    }
    std::ranges::sort(files);
    std::vector<OpenArt> result;
    for (const fs::path& file : files) {
        Image image;
        try {
            image = in_color(codec::read_face(file).face.image);
        } catch (const Error&) {
            continue;
        }
        const double fit = std::max(static_cast<double>(size.width) / image.width(),
                                    static_cast<double>(size.height) / image.height());
        // Art enlarged by more than a quarter is no art at 300 ppi.
        if (fit > 1.25) continue;
        result.push_back({file.stem().string(), false, scaled_crop(image, fit, size)});
        if (fit < 0.8) {
            result.push_back({file.stem().string() + " 1:1", false, scaled_crop(image, 1.0, size)});
        }
    }
    return result;
}

}  // namespace paleproof::bench
