// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "truth.h"

#include <fstream>
#include <nlohmann/json.hpp>

#include "core/error.h"

namespace paleproof::bench {
namespace {

Image read_ppm(const std::filesystem::path& path, Ppi ppi) {
    std::ifstream file(path, std::ios::binary);
    std::string magic;
    int width = 0, height = 0, top = 0;
    file >> magic >> width >> height >> top;
    file.get();
    if (magic != "P6" || width < 1 || height < 1 || top != 255) {
        throw Error(ErrorKind::file, path.string(), "expected a P6 file of 8 bits");
    }
    Image image(width, height, Encoding::srgb, ppi);
    file.read(reinterpret_cast<char*>(image.bytes().data()),
              static_cast<std::streamsize>(image.bytes().size()));
    if (!file) {
        throw Error(ErrorKind::file, path.string(), "it ends too early");
    }
    return image;
}

}  // namespace

TrueFace read_face(const std::filesystem::path& path) {
    std::ifstream file(path);
    if (!file) {
        throw Error(ErrorKind::file, path.string(), "cannot be opened");
    }
    const nlohmann::json truth = nlohmann::json::parse(file);
    TrueFace face;
    face.name = truth.at("name");
    face.group = truth.at("group");
    face.kind = truth.at("kind");
    std::filesystem::path picture = path;
    face.image = read_ppm(picture.replace_extension(".ppm"), Ppi{truth.at("ppi").get<double>()});
    for (const auto& from : truth.at("lines")) {
        TrueLine line;
        line.text = from.at("text");
        line.ground = from.at("ground");
        line.effect = from.at("effect");
        line.font = from.at("font");
        line.mark = from.at("mark");
        line.capitals = from.at("capitals");
        line.reversed = from.at("reversed");
        line.flat = from.at("flat");
        line.even = from.at("even");
        line.hidden = from.value("hidden", false);
        line.points = from.at("points");
        line.x_px = from.at("x_px");
        line.cap_px = from.at("cap_px");
        line.angle = from.at("angle");
        line.contrast = from.at("contrast");
        from.at("band").get_to(line.band);
        from.at("ink").get_to(line.ink);
        for (const auto& glyph : from.at("glyphs")) {
            line.glyphs.push_back({glyph.at(0), glyph.at(1), glyph.at(2)});
        }
        face.lines.push_back(std::move(line));
    }
    return face;
}

}  // namespace paleproof::bench
