// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// text_bench FACES [--verbose] [--net NET.onnx] [--bands NET.onnx] [--ocr] [--only NAME] [--show
// FOLDER]
//
// Prints a table (Markdown) of the text survey on faces with exact truth. --net: another net in
// the finder. --bands, also several: the bare bands of another net, without looking at strokes.
// --ocr: an OCR engine in sparse mode. --show: the faces with the boxes that were found, as PPM:
// lines green, marks blue, reversed ones with red in it.

#include <fmt/core.h>

#include <algorithm>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <opencv2/dnn.hpp>
#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

#include "core/error.h"
#include "sparse_ocr.h"
#include "survey/text/bands.h"
#include "survey/text/text_finder.h"
#include "tally.h"
#include "truth.h"

namespace {

using namespace paleproof;

std::vector<std::uint8_t> bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// The bare bands of a net that takes faces of one size only: 375 x 525 pixels, filled up to 384 x
/// 528, in color; its answer has half that size.
class BareNet {
  public:
    explicit BareNet(const std::string& path) : net_(cv::dnn::readNetFromONNX(path)) {}

    /// As lines: boxes only.
    std::vector<TextLine> lines(const Image& image) {
        const cv::Mat face(image.height(), image.width(), CV_8UC3,
                           const_cast<std::uint8_t*>(image.row(0)));
        cv::Mat small, whole;
        cv::resize(face, small, {375, 525}, 0, 0, cv::INTER_AREA);
        cv::copyMakeBorder(small, whole, 0, 3, 0, 9, cv::BORDER_REPLICATE);
        net_.setInput(cv::dnn::blobFromImage(whole, 1.0 / 255.0));
        const cv::Mat out = net_.forward();
        survey::BandMap map;
        for (int c = 0; c < std::min(2, out.size[1]); ++c) {
            survey::PlaneF& plane = c == 0 ? map.lines : map.marks;
            plane = survey::PlaneF(188, 263);
            for (int y = 0; y < plane.height; ++y) {
                std::copy_n(out.ptr<float>(0, c) + static_cast<std::ptrdiff_t>(y) * out.size[3],
                            plane.width, plane.row(y));
            }
        }
        map.cell_x = 2.0 * image.width() / 375;
        map.cell_y = 2.0 * image.height() / 525;
        std::vector<TextLine> result;
        for (const survey::Band& band : survey::bands_in(map, 1000)) {
            const bool down = band.angle > 0.8;
            const double w = down ? band.height : band.length;
            const double h = down ? band.length : band.height;
            TextLine line;
            line.box_px = {static_cast<int>(band.x - w / 2), static_cast<int>(band.y - h / 2),
                           static_cast<int>(w) + 1, static_cast<int>(h) + 1};
            line.confidence = band.strength;
            line.x_height_px = band.height;
            result.push_back(line);
        }
        return result;
    }

  private:
    cv::dnn::Net net_;
};

void write_boxes(const std::filesystem::path& path, Image image,
                 const std::vector<TextLine>& lines) {
    for (const TextLine& line : lines) {
        const RectPx& b = line.box_px;
        for (int y = b.y; y < b.bottom(); ++y) {
            for (int x = b.x; x < b.right(); ++x) {
                if (y == b.y || y + 1 == b.bottom() || x == b.x || x + 1 == b.right()) {
                    std::uint8_t* p = image.row(y) + 3 * x;
                    p[0] = line.reversed ? 255 : 0;
                    p[1] = line.kind == TextLine::Kind::line ? 220 : 0;
                    p[2] = line.kind == TextLine::Kind::line ? 0 : 255;
                }
            }
        }
    }
    std::filesystem::create_directories(path.parent_path());
    std::ofstream file(path, std::ios::binary);
    file << "P6\n" << image.width() << ' ' << image.height() << "\n255\n";
    file.write(reinterpret_cast<const char*>(image.bytes().data()),
               static_cast<std::streamsize>(image.bytes().size()));
}

/// Processor time of this thread: other work on the machine does not count.
double now_ms() {
    timespec t{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

int run(int argc, char** argv) {
    std::string folder, net, only, show;
    std::vector<std::string> bands;
    bool verbose = false, ocr = false;
    for (int i = 1; i < argc; ++i) {
        const std::string arg = argv[i];
        const bool more = i + 1 < argc;
        if (arg == "--verbose") {
            verbose = true;
        } else if (arg == "--ocr") {
            ocr = true;
        } else if (arg == "--net" && more) {
            net = argv[++i];
        } else if (arg == "--bands" && more) {
            bands.emplace_back(argv[++i]);
        } else if (arg == "--only" && more) {
            only = argv[++i];
        } else if (arg == "--show" && more) {
            show = argv[++i];
        } else {
            folder = arg;
        }
    }
    if (folder.empty()) {
        fmt::print(stderr,
                   "text_bench FACES [--verbose] [--net NET] [--bands NET] [--ocr] [--only NAME] "
                   "[--show FOLDER]\n");
        return 2;
    }
    cv::setNumThreads(1);
    const survey::TextFinder finder =
        net.empty() ? survey::TextFinder() : survey::TextFinder(bytes_of(net));
    std::vector<BareNet> others(bands.begin(), bands.end());
    std::vector<std::filesystem::path> paths;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().extension() == ".json" &&
            (only.empty() || entry.path().stem().string().starts_with(only))) {
            paths.push_back(entry.path());
        }
    }
    std::sort(paths.begin(), paths.end());
    std::vector<bench::Tally> tallies;
    tallies.emplace_back("survey");
    for (const std::string& path : bands) {
        tallies.emplace_back("bare bands of " + std::filesystem::path(path).stem().string());
    }
    if (ocr) {
        tallies.emplace_back("OCR, sparse");
    }
    for (const auto& path : paths) {
        const bench::TrueFace face = bench::read_face(path);
        std::size_t column = 0;
        double start = now_ms();
        const survey::TextSurvey found = finder.find(face.image, face.image.ppi());
        tallies[column++].add(face, found.lines, now_ms() - start, true, verbose);
        if (!show.empty()) {
            write_boxes(std::filesystem::path(show) / (face.name + ".ppm"), face.image,
                        found.lines);
        }
        for (BareNet& other : others) {
            start = now_ms();
            const auto lines = other.lines(face.image);
            tallies[column++].add(face, lines, now_ms() - start, false, false);
        }
        if (ocr) {
            start = now_ms();
            const auto lines = bench::sparse_ocr(face.image);
            tallies[column++].add(face, lines, now_ms() - start, false, false);
        }
    }
    std::vector<std::string> keys;
    std::vector<std::map<std::string, std::string>> values;
    for (const bench::Tally& tally : tallies) {
        values.emplace_back();
        for (const auto& [key, value] : tally.rows()) {
            values.back()[key] = value;
            if (std::find(keys.begin(), keys.end(), key) == keys.end()) {
                keys.push_back(key);
            }
        }
    }
    std::string head = "| |", rule = "| --- |";
    for (const bench::Tally& tally : tallies) {
        head += " " + tally.way() + " |";
        rule += " --- |";
    }
    fmt::print("{}\n{}\n", head, rule);
    for (const std::string& key : keys) {
        std::string row = "| " + key + " |";
        for (auto& column : values) {
            row += " " + column[key] + " |";
        }
        fmt::print("{}\n", row);
    }
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    try {
        return run(argc, argv);
    } catch (const std::exception& error) {
        fmt::print(stderr, "text_bench: {}\n", error.what());
        return 2;
    }
}
