// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <map>
#include <span>
#include <string>
#include <vector>

namespace paleproof::survey {

/// A tensor of numbers that a net carries.
struct OnnxTensor {
    std::vector<std::int64_t> shape;
    std::vector<float> values;
};

struct OnnxNode {
    std::string kind;  ///< "Conv", "Relu" ...
    std::vector<std::string> inputs, outputs;
    std::map<std::string, std::vector<std::int64_t>> integers;  ///< attributes
};

struct OnnxGraph {
    std::vector<OnnxNode> nodes;  ///< in an order that works
    std::map<std::string, OnnxTensor> constants;
    std::string input, output;  ///< the first of each
};

/// The graph of an ONNX model: nodes, float constants, integer attributes. Source: the ONNX
/// project's onnx.proto, message numbers from memory; the wire format of Protocol Buffers.
/// Error{format} when the bytes break off.
[[nodiscard]] OnnxGraph read_onnx(std::span<const std::uint8_t> bytes);

}  // namespace paleproof::survey
