// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/edition_record.h"

#include <cmath>
#include <cstdint>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "app/content_hash.h"
#include "app/edition_switch.h"
#include "core/base64.h"
#include "core/error.h"

namespace paleproof::app {
namespace {

using Json = nlohmann::ordered_json;

/// Lengths as whole micrometers: exact in JSON, and finer than any printer.
Json micrometers(Mm length) {
    return static_cast<std::int64_t>(length.value * 1000.0 + (length.value < 0 ? -0.5 : 0.5));
}
Mm from_micrometers(const Json& value) {
    return {static_cast<double>(value.get<std::int64_t>()) / 1000.0};
}

Json face_json(const RecordedFace& face) {
    Json json{
        {"name", face.name},   {"source", face.source},         {"source_hash", face.source_hash},
        {"proof", face.proof}, {"proof_hash", face.proof_hash}, {"copies", face.copies}};
    json["back"] = face.back ? Json(*face.back) : Json();
    json["trim_um"] = {micrometers(face.trim.width), micrometers(face.trim.height)};
    json["bleed_um"] = {micrometers(face.bleed.top), micrometers(face.bleed.right),
                        micrometers(face.bleed.bottom), micrometers(face.bleed.left)};
    json["proof_px"] = {face.proof_px.width, face.proof_px.height};
    json["channels"] = face.channels;
    json["bits"] = face.bits;
    json["ink"] = std::round(face.ink * 1e6) / 1e6;
    json["group4"] = face.group4;
    json["look"] = face.look;
    json["card_hash"] = face.card_hash;
    json["source_look"] = face.source_look;
    return json;
}

RecordedFace face_of(const Json& json) {
    RecordedFace face;
    face.name = json.at("name").get<std::string>();
    face.source = json.at("source").get<std::string>();
    face.source_hash = json.at("source_hash").get<std::string>();
    face.proof = json.at("proof").get<std::string>();
    face.proof_hash = json.at("proof_hash").get<std::string>();
    face.copies = json.at("copies").get<int>();
    if (!json.at("back").is_null()) face.back = json.at("back").get<std::size_t>();
    face.trim = {from_micrometers(json.at("trim_um").at(0)),
                 from_micrometers(json.at("trim_um").at(1))};
    const Json& bleed = json.at("bleed_um");
    face.bleed = {from_micrometers(bleed.at(0)), from_micrometers(bleed.at(1)),
                  from_micrometers(bleed.at(2)), from_micrometers(bleed.at(3))};
    face.proof_px = {json.at("proof_px").at(0).get<int>(), json.at("proof_px").at(1).get<int>()};
    face.channels = json.at("channels").get<int>();
    face.bits = json.at("bits").get<int>();
    face.ink = json.value("ink", 0.0);
    face.group4 = json.value("group4", false);
    face.look = json.value("look", std::string());
    face.card_hash = json.value("card_hash", std::string());
    face.source_look = json.value("source_look", std::string());
    return face;
}

Json legend_json(const LegendEntry& entry) {
    Json json{{"label", entry.label}, {"gray", entry.sample.gray}};
    json["lines"] = Json::array();
    for (const PatternLines& lines : entry.sample.lines) {
        json["lines"].push_back({{"angle_deg", lines.angle_deg},
                                 {"pitch_um", micrometers(lines.pitch)},
                                 {"width_um", micrometers(lines.width)}});
    }
    if (entry.sample.dots) {
        json["dots"] = {{"pitch_um", micrometers(entry.sample.dots->pitch)},
                        {"diameter_um", micrometers(entry.sample.dots->diameter)}};
    }
    return json;
}

LegendEntry legend_of(const Json& json) {
    LegendEntry entry;
    entry.label = json.at("label").get<std::string>();
    entry.sample.gray = json.at("gray").get<double>();
    for (const Json& lines : json.at("lines")) {
        entry.sample.lines.push_back({lines.at("angle_deg").get<double>(),
                                      from_micrometers(lines.at("pitch_um")),
                                      from_micrometers(lines.at("width_um"))});
    }
    if (json.contains("dots")) {
        const Json& dots = json.at("dots");
        entry.sample.dots = PatternDots{from_micrometers(dots.at("pitch_um")),
                                        from_micrometers(dots.at("diameter_um"))};
    }
    return entry;
}

/// The grays of the map's nodes as 16-bit numbers, the low byte first.
Json gray_map_json(const color::GrayTable& map) {
    std::string bytes;
    for (const std::uint16_t unit : map.units()) {
        bytes += static_cast<char>(unit & 0xffU);
        bytes += static_cast<char>(unit >> 8U);
    }
    return {{"nodes", color::GrayTable::nodes},
            {"units_per_code", color::GrayTable::one},
            {"grays", base64(bytes)}};
}

color::GrayTable gray_map_of(const Json& json, const std::string& file) {
    const std::vector<std::uint8_t> bytes = from_base64(json.at("grays").get<std::string>());
    std::vector<std::uint16_t> units(bytes.size() / 2);
    for (std::size_t i = 0; i < units.size(); ++i) {
        units[i] = static_cast<std::uint16_t>(bytes[2 * i] | bytes[2 * i + 1] << 8U);
    }
    const bool known = json.at("nodes") == color::GrayTable::nodes &&
                       json.at("units_per_code") == color::GrayTable::one && bytes.size() % 2 == 0;
    std::optional<color::GrayTable> map;
    if (known) map = color::GrayTable::from_units(units);
    if (!map)
        throw Error(ErrorKind::format, file, "its gray map is damaged; make the edition again");
    return *std::move(map);
}

void check(const EditionRecord& record, const std::string& file) {
    const auto refuse = [&](const std::string& what) {
        throw Error(ErrorKind::format, file, what);
    };
    for (const LegendEntry& entry : record.legend) {
        for (const PatternLines& lines : entry.sample.lines) {
            if (lines.pitch.value <= 0) refuse("a pattern of its legend is out of range");
        }
        if (entry.sample.dots && entry.sample.dots->pitch.value <= 0)
            refuse("a pattern of its legend is out of range");
    }
    for (const RecordedFace& face : record.faces) {
        if (!face.proof.empty() && !stays_inside(face.proof))
            refuse("names a proof outside of the edition: " + face.proof);
        if (face.back && *face.back >= record.faces.size())
            refuse("the back of " + face.name + " does not exist");
        if (face.copies < 0 || face.copies > 10'000)
            refuse("the copies of " + face.name + " are out of range");
        if (!face.proof.empty() && (face.trim.width.value <= 0 || face.trim.height.value <= 0)) {
            refuse("the size of " + face.name + " is out of range");
        }
    }
}

}  // namespace

std::string record_json(const EditionRecord& record) {
    Json json{{"format", record_format},
              {"tool", "paleproof " PALEPROOF_VERSION},
              {"title", record.title},
              {"edition", record.edition}};
    json["settings"] = Json::object();
    for (const Setting& setting : record.settings) json["settings"][setting.name] = setting.value;
    json["faces"] = Json::array();
    for (const RecordedFace& face : record.faces) json["faces"].push_back(face_json(face));
    json["legend"] = Json::array();
    for (const LegendEntry& entry : record.legend) json["legend"].push_back(legend_json(entry));
    if (record.gray_map) json["gray_map"] = gray_map_json(*record.gray_map);
    json["files"] = record.files;
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

void set_card_hashes(EditionRecord& record) {
    std::string look;
    std::string style;
    for (const Setting& setting : record.settings) {
        if (setting.name.starts_with("look.")) look += setting.name + setting.value + "\n";
        if (setting.name == "look.style") style = setting.value;
    }
    std::erase(style, '"');
    std::string all;
    for (RecordedFace& face : record.faces) {
        const Json determines{face.proof_hash,
                              micrometers(face.trim.width),
                              micrometers(face.trim.height),
                              face.copies,
                              face.back ? record.faces[*face.back].proof_hash : std::string(),
                              look};
        face.card_hash = content_hash(determines.dump());
        all += face.card_hash;
    }
    constexpr std::size_t short_name = 6;
    record.edition = style + " " + content_hash(all).substr(0, short_name);
}

EditionRecord read_record(const std::filesystem::path& out) {
    std::error_code fault;
    const std::filesystem::path file = file_of_edition(out, "edition.json");
    if (!std::filesystem::exists(file, fault)) {
        throw Error(ErrorKind::file, out.string(),
                    "expected the folder of an edition; it has no edition.json");
    }
    return read_record_at(file);
}

EditionRecord read_record_at(const std::filesystem::path& named) {
    std::error_code no_folder;
    const bool folder = std::filesystem::is_directory(named, no_folder);
    const std::string file = (folder ? file_of_edition(named, "edition.json") : named).string();
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream content;
    content << stream.rdbuf();
    if (!stream) {
        throw Error(ErrorKind::file, file,
                    "expected the edition.json of an edition, or its folder; it cannot be read");
    }
    try {
        const Json json = Json::parse(content.str());
        if (json.at("format").get<int>() != record_format) {
            throw Error(
                ErrorKind::unsupported, file,
                "expected format " + std::to_string(record_format) + "; make the edition again");
        }
        EditionRecord record;
        record.title = json.at("title").get<std::string>();
        record.edition = json.value("edition", std::string());
        for (const auto& [name, value] : json.at("settings").items()) {
            record.settings.push_back({name, value.get<std::string>(), ""});
        }
        for (const Json& face : json.at("faces")) record.faces.push_back(face_of(face));
        if (json.contains("legend")) {
            for (const Json& entry : json.at("legend")) record.legend.push_back(legend_of(entry));
        }
        if (json.contains("gray_map")) record.gray_map = gray_map_of(json.at("gray_map"), file);
        record.files = json.at("files").get<std::vector<std::string>>();
        check(record, file);
        return record;
    } catch (const nlohmann::json::exception& fault) {
        throw Error(ErrorKind::format, file,
                    "expected the record of an edition; it is damaged (" +
                        std::string(fault.what()) + "); make the edition again");
    }
}

}  // namespace paleproof::app
