// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/conv_net.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <map>
#include <string>
#include <utility>

#include "survey/text/net_kernels.h"
#include "survey/text/onnx.h"

namespace paleproof::survey {
namespace {

constexpr int multiple = 16;  // the net halves its input four times
constexpr int margin = 2;     // zeros around a layer: half of the largest filter
constexpr int vector = 8;     // channels come in eights

int eights(int n) { return (n + vector - 1) / vector * vector; }

enum class Kind { dense, depthwise, add };

struct Step {
    Kind kind = Kind::dense;
    int a = 0, b = 0;  ///< slots that are read
    int to = 0;        ///< slot that is written
    int channels = 0;  ///< of the result
    int side = 1, stride = 1;
    bool relu = false;
    std::vector<float> weights, bias;  ///< weights of dense layers [ky][kx][in][out]
    // Of dense layers: the weights in whole numbers, see Filter.
    std::vector<std::int16_t> codes;
    std::vector<float> units;
    float most = 0.0F;
};

/// Fills in the weights of a dense layer in whole numbers: with 14 bits, as those of its input get
/// about as many when no sum may be more than 31 bits.
void put_codes(Step& step) {
    constexpr double most_weight = 8191.0;
    constexpr double most_input = 32767.0;
    const auto outs = static_cast<std::size_t>(step.channels);
    const auto side = static_cast<std::size_t>(step.side);
    const std::size_t row = step.weights.size() / outs / side;  // [kx][in]
    const std::size_t pairs = (row + 1) / 2;
    step.codes.assign(side * pairs * outs * 2, 0);
    step.units.assign(outs, 0.0F);
    double largest_sum = 1.0;
    for (std::size_t o = 0; o < outs; ++o) {
        double most = 0.0;
        for (std::size_t i = o; i < step.weights.size(); i += outs)
            most = std::max(most, std::abs(static_cast<double>(step.weights[i])));
        if (most == 0.0) continue;
        step.units[o] = static_cast<float>(most / most_weight);
        double sum = 0.0;
        for (std::size_t ky = 0; ky < side; ++ky) {
            for (std::size_t i = 0; i < row; ++i) {
                const double weight = step.weights[(ky * row + i) * outs + o];
                const auto code =
                    static_cast<std::int16_t>(std::lround(weight / most * most_weight));
                step.codes[((ky * pairs + i / 2) * outs + o) * 2 + i % 2] = code;
                sum += std::abs(code);
            }
        }
        largest_sum = std::max(largest_sum, sum);
    }
    step.most = static_cast<float>(std::min(most_input, std::floor(2147483647.0 / largest_sum)));
}

/// A buffer that a layer lies in. The margin stays zero, as only pixels are written.
struct Slot {
    std::vector<float> data;
    Layer layer;

    void shape(int width, int height, int channels) {
        const int row = (width + 2 * margin) * channels;
        const std::size_t size =
            static_cast<std::size_t>(row) * static_cast<std::size_t>(height + 2 * margin);
        const bool same = layer.width == width && layer.height == height &&
                          layer.channels == channels && data.size() >= size;
        if (!same) {
            data.assign(size, 0.0F);
        }
        layer = {data.data() + margin * row + margin * channels, width, height, channels, row};
    }
};

int attribute(const OnnxNode& node, const std::string& name, int otherwise) {
    const auto found = node.integers.find(name);
    return found == node.integers.end() || found->second.empty()
               ? otherwise
               : static_cast<int>(found->second[0]);
}

bool all_are(const OnnxNode& node, const std::string& name, int value) {
    const auto found = node.integers.find(name);
    return found == node.integers.end() || std::all_of(found->second.begin(), found->second.end(),
                                                       [&](std::int64_t v) { return v == value; });
}

}  // namespace

struct ConvNet::Parts {
    std::vector<Step> steps;
    std::vector<Slot> slots;
    std::vector<std::int16_t> codes;  ///< of the input of the layer at work
    int outputs = 0;
    const NetKernels* kernels = &net_kernels();

    bool build(const OnnxGraph& graph);
    bool add_convolution(const OnnxGraph& graph, const OnnxNode& node);
    bool add_transposed(const OnnxGraph& graph, const OnnxNode& node);
    bool add_sum(const OnnxNode& node);
    void share_slots();

    /// Name of a value -> the step that makes it; -1 is the input.
    std::map<std::string, int> made;
    std::map<std::string, std::string> enlarged;  ///< by two, of what
};

bool ConvNet::Parts::add_convolution(const OnnxGraph& graph, const OnnxNode& node) {
    if (node.inputs.size() != 3 || !graph.constants.contains(node.inputs[1]) ||
        !graph.constants.contains(node.inputs[2]) || !made.contains(node.inputs[0])) {
        return false;
    }
    const OnnxTensor& w = graph.constants.at(node.inputs[1]);
    const OnnxTensor& bias = graph.constants.at(node.inputs[2]);
    if (w.shape.size() != 4 || w.shape[2] != w.shape[3]) {
        return false;
    }
    const int outs = static_cast<int>(w.shape[0]), ins = static_cast<int>(w.shape[1]);
    const int groups = attribute(node, "group", 1);
    Step step;
    step.a = made.at(node.inputs[0]);
    step.side = static_cast<int>(w.shape[2]);
    step.stride = attribute(node, "strides", 1);
    const int source = step.a < 0 ? 1 : steps[static_cast<std::size_t>(step.a)].channels;
    const bool each = groups > 1;
    if ((step.side != 1 && step.side != 3 && step.side != 5) || step.stride < 1 ||
        step.stride > 2 || !all_are(node, "strides", step.stride) ||
        !all_are(node, "pads", step.side / 2) || !all_are(node, "dilations", 1) ||
        (step.side > 1 && !node.integers.contains("pads")) ||
        (each && (groups != outs || ins != 1 || step.side != 3 || source != eights(outs))) ||
        (!each && source != (step.a < 0 ? ins : eights(ins))) ||
        w.values.size() != static_cast<std::size_t>(outs * ins * step.side * step.side) ||
        bias.values.size() != static_cast<std::size_t>(outs)) {
        return false;
    }
    step.kind = each ? Kind::depthwise : Kind::dense;
    step.channels = eights(outs);
    step.bias.assign(static_cast<std::size_t>(step.channels), 0.0F);
    std::copy(bias.values.begin(), bias.values.end(), step.bias.begin());
    const int from = each ? 1 : source, area = step.side * step.side;
    step.weights.assign(static_cast<std::size_t>(area * from * step.channels), 0.0F);
    for (int o = 0; o < outs; ++o) {
        for (int i = 0; i < ins; ++i) {
            for (int k = 0; k < area; ++k) {
                step.weights[static_cast<std::size_t>((k * from + i) * step.channels + o)] =
                    w.values[static_cast<std::size_t>((o * ins + i) * area + k)];
            }
        }
    }
    steps.push_back(std::move(step));
    return true;
}

/// Side and stride 2: four results of a pixel that do not overlap, hence a filter of side 1 whose
/// channels are (row, column, plane).
bool ConvNet::Parts::add_transposed(const OnnxGraph& graph, const OnnxNode& node) {
    if (node.inputs.size() != 3 || !graph.constants.contains(node.inputs[1]) ||
        !graph.constants.contains(node.inputs[2]) || !made.contains(node.inputs[0]) ||
        node.outputs[0] != graph.output) {
        return false;
    }
    const OnnxTensor& w = graph.constants.at(node.inputs[1]);
    const OnnxTensor& bias = graph.constants.at(node.inputs[2]);
    Step step;
    step.a = made.at(node.inputs[0]);
    if (step.a < 0 || w.shape.size() != 4 || w.shape[2] != 2 || w.shape[3] != 2 ||
        !all_are(node, "strides", 2) || !node.integers.contains("strides") ||
        !all_are(node, "pads", 0) || attribute(node, "group", 1) != 1) {
        return false;
    }
    const int ins = static_cast<int>(w.shape[0]), outs = static_cast<int>(w.shape[1]);
    const int source = steps[static_cast<std::size_t>(step.a)].channels;
    if (source != eights(ins) || w.values.size() != static_cast<std::size_t>(4 * ins * outs) ||
        bias.values.size() != static_cast<std::size_t>(outs)) {
        return false;
    }
    step.channels = eights(4 * outs);
    step.bias.assign(static_cast<std::size_t>(step.channels), 0.0F);
    step.weights.assign(static_cast<std::size_t>(source * step.channels), 0.0F);
    for (int o = 0; o < outs; ++o) {
        for (int k = 0; k < 4; ++k) {
            const int to = k * outs + o;
            step.bias[static_cast<std::size_t>(to)] = bias.values[static_cast<std::size_t>(o)];
            for (int i = 0; i < ins; ++i) {
                step.weights[static_cast<std::size_t>(i * step.channels + to)] =
                    w.values[static_cast<std::size_t>((i * outs + o) * 4 + k)];
            }
        }
    }
    outputs = outs;
    steps.push_back(std::move(step));
    return true;
}

bool ConvNet::Parts::add_sum(const OnnxNode& node) {
    if (node.inputs.size() != 2) {
        return false;
    }
    std::string a = node.inputs[0], b = node.inputs[1];
    if (enlarged.contains(a)) {
        std::swap(a, b);
    }
    if (enlarged.contains(b)) {
        b = enlarged.at(b);
    }
    if (!made.contains(a) || !made.contains(b) || made.at(a) < 0 || made.at(b) < 0) {
        return false;
    }
    Step step;
    step.kind = Kind::add;
    step.a = made.at(a);
    step.b = made.at(b);
    step.channels = steps[static_cast<std::size_t>(step.a)].channels;
    if (step.channels != steps[static_cast<std::size_t>(step.b)].channels) {
        return false;
    }
    steps.push_back(std::move(step));
    return true;
}

/// Steps write to slots; a slot is free again after the last step that reads it. Slot 0 is the
/// input. A buffer keeps its shape only where layers of one shape share it, so slots are given to
/// layers of the same channels and stride from the input.
void ConvNet::Parts::share_slots() {
    const auto count = static_cast<int>(steps.size());
    std::vector<int> last(steps.size(), count), slot(steps.size(), 0), scale(steps.size(), 1);
    for (int i = 0; i < count; ++i) {
        const Step& step = steps[static_cast<std::size_t>(i)];
        for (const int source : {step.a, step.kind == Kind::add ? step.b : -1}) {
            if (source >= 0) {
                last[static_cast<std::size_t>(source)] = i;
            }
        }
        const int before = step.a < 0 ? 1 : scale[static_cast<std::size_t>(step.a)];
        scale[static_cast<std::size_t>(i)] = before * step.stride;
    }
    std::vector<std::pair<int, int>> shapes{{1, 1}};  // channels and scale of each slot
    std::vector<int> busy_until{count};
    for (int i = 0; i < count; ++i) {
        const auto at = static_cast<std::size_t>(i);
        const std::pair<int, int> shape{steps[at].channels, scale[at]};
        std::size_t free = 1;
        while (free < shapes.size() && (shapes[free] != shape || busy_until[free] >= i)) {
            ++free;
        }
        if (free == shapes.size()) {
            shapes.push_back(shape);
            busy_until.push_back(0);
        }
        busy_until[free] = last[at];
        slot[at] = static_cast<int>(free);
    }
    for (int i = 0; i < count; ++i) {
        Step& step = steps[static_cast<std::size_t>(i)];
        step.a = step.a < 0 ? 0 : slot[static_cast<std::size_t>(step.a)];
        step.b = slot[static_cast<std::size_t>(step.b)];
        step.to = slot[static_cast<std::size_t>(i)];
    }
    slots.resize(shapes.size());
}

bool ConvNet::Parts::build(const OnnxGraph& graph) {
    made[graph.input] = -1;
    for (const OnnxNode& node : graph.nodes) {
        if (node.outputs.size() != 1 || node.inputs.empty() || outputs > 0) {
            return false;
        }
        const std::string& in = node.inputs[0];
        const std::string& out = node.outputs[0];
        if (node.kind == "Relu") {
            // Part of the step before, whose bare result nothing else may read.
            if (!made.contains(in) || made.at(in) != static_cast<int>(steps.size()) - 1 ||
                made.at(in) < 0) {
                return false;
            }
            const int step = made.at(in);
            steps.back().relu = true;
            made.erase(in);
            made[out] = step;
            continue;
        }
        if (node.kind == "Resize") {
            const auto scales = std::find_if(
                node.inputs.begin() + 1, node.inputs.end(), [&](const std::string& name) {
                    return graph.constants.contains(name) &&
                           graph.constants.at(name).values == std::vector<float>{1, 1, 2, 2};
                });
            if (scales == node.inputs.end() || !made.contains(in)) {
                return false;
            }
            enlarged[out] = in;
            continue;
        }
        const bool fine = node.kind == "Conv"            ? add_convolution(graph, node)
                          : node.kind == "ConvTranspose" ? add_transposed(graph, node)
                          : node.kind == "Add"           ? add_sum(node)
                                                         : false;
        if (!fine) {
            return false;
        }
        made[out] = static_cast<int>(steps.size()) - 1;
    }
    if (outputs < 1 || outputs > 2) {
        return false;
    }
    for (Step& step : steps) {
        if (step.kind == Kind::dense) put_codes(step);
    }
    share_slots();
    return true;
}

ConvNet::ConvNet(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
ConvNet::ConvNet(ConvNet&&) noexcept = default;
ConvNet& ConvNet::operator=(ConvNet&&) noexcept = default;
ConvNet::~ConvNet() = default;

std::optional<ConvNet> ConvNet::read(std::span<const std::uint8_t> onnx) {
    auto parts = std::make_unique<Parts>();
    if (!parts->build(read_onnx(onnx))) {
        return std::nullopt;
    }
    return ConvNet(std::move(parts));
}

std::vector<PlaneF> ConvNet::forward(const Plane8& plane, int top, int bottom) {
    Parts& p = *parts_;
    const auto padded = [](int n) { return (n + multiple - 1) / multiple * multiple; };
    Slot& input = p.slots[0];
    input.shape(padded(plane.width), padded(bottom - top), 1);
    for (int y = 0; y < input.layer.height; ++y) {
        const std::uint8_t* from = plane.row(std::min(top + y, bottom - 1));
        float* to = input.layer.at + static_cast<std::ptrdiff_t>(y) * input.layer.row;
        for (int x = 0; x < input.layer.width; ++x) {
            to[x] = static_cast<float>(from[std::min(x, plane.width - 1)]) * (1.0F / 255.0F);
        }
    }
    for (const Step& step : p.steps) {
        const Layer a = p.slots[static_cast<std::size_t>(step.a)].layer;
        Slot& to = p.slots[static_cast<std::size_t>(step.to)];
        to.shape(a.width / step.stride, a.height / step.stride, step.channels);
        const Filter filter{.weights = step.weights.data(),
                            .codes = step.codes.data(),
                            .units = step.units.data(),
                            .most = step.most,
                            .bias = step.bias.data(),
                            .side = step.side,
                            .stride = step.stride,
                            .relu = step.relu};
        switch (step.kind) {
            case Kind::dense: {
                const auto room = static_cast<std::size_t>(a.row) *
                                      static_cast<std::size_t>(a.height + 2 * margin) +
                                  2;
                if (p.codes.size() < room) p.codes.resize(room);
                p.kernels->dense(a, filter, p.codes.data(), to.layer);
                break;
            }
            case Kind::depthwise:
                p.kernels->depthwise(a, filter, to.layer);
                break;
            case Kind::add:
                p.kernels->add(a, p.slots[static_cast<std::size_t>(step.b)].layer, step.relu,
                               to.layer);
        }
    }
    const Layer& out = p.slots[static_cast<std::size_t>(p.steps.back().to)].layer;
    const int width = (plane.width + 1) / 2, height = (bottom - top + 1) / 2;
    std::vector<PlaneF> result;
    for (int k = 0; k < p.outputs; ++k) {
        PlaneF& logits = result.emplace_back(width, height);
        for (int y = 0; y < height; ++y) {
            const float* row =
                out.at + static_cast<std::ptrdiff_t>(y / 2) * out.row + (y % 2) * 2 * p.outputs + k;
            float* to = logits.row(y);
            for (int x = 0; x < width; ++x) {
                to[x] = row[(x / 2) * out.channels + (x % 2) * p.outputs];
            }
        }
    }
    return result;
}

}  // namespace paleproof::survey
