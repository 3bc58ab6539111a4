// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/onnx.h"

#include <cstring>

#include "core/error.h"

namespace paleproof::survey {
namespace {

using Bytes = std::span<const std::uint8_t>;

[[noreturn]] void broken() {
    throw Error(ErrorKind::format, "text net", "expected an ONNX model; its bytes break off");
}

/// One field of a message: a number, or bytes that hold text, numbers or a message.
struct Field {
    int number = 0;
    std::uint64_t value = 0;
    Bytes bytes;
};

/// Walks through the fields of a message.
class Fields {
  public:
    explicit Fields(Bytes bytes) : rest_(bytes) {}

    bool next(Field& field) {
        if (rest_.empty()) {
            return false;
        }
        const std::uint64_t key = number();
        field = {static_cast<int>(key >> 3U), 0, {}};
        switch (key & 7U) {
            case 0:
                field.value = number();
                return true;
            case 1:
                field.bytes = take(8);
                return true;
            case 2:
                field.bytes = take(number());
                return true;
            case 5:
                field.bytes = take(4);
                return true;
            default:
                broken();
        }
    }

    /// Base 128, least significant group first.
    std::uint64_t number() {
        std::uint64_t result = 0;
        for (unsigned shift = 0; shift < 64; shift += 7) {
            const std::uint8_t byte = take(1)[0];
            result |= static_cast<std::uint64_t>(byte & 0x7FU) << shift;
            if ((byte & 0x80U) == 0) {
                return result;
            }
        }
        broken();
    }

    [[nodiscard]] bool empty() const { return rest_.empty(); }

  private:
    Bytes take(std::uint64_t n) {
        if (n > rest_.size()) {
            broken();
        }
        const Bytes result = rest_.first(static_cast<std::size_t>(n));
        rest_ = rest_.subspan(static_cast<std::size_t>(n));
        return result;
    }

    Bytes rest_;
};

std::string text(Bytes bytes) {
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

void add_floats(Bytes bytes, std::vector<float>& to) {
    if (bytes.size() < 4) return;  // none: memcpy takes no null pointer, even for nothing
    const std::size_t at = to.size();
    to.resize(at + bytes.size() / 4);
    std::memcpy(to.data() + at, bytes.data(), bytes.size() / 4 * 4);
}

void add_integers(const Field& field, std::vector<std::int64_t>& to) {
    if (field.bytes.empty()) {
        to.push_back(static_cast<std::int64_t>(field.value));
        return;
    }
    for (Fields packed(field.bytes); !packed.empty();) {
        to.push_back(static_cast<std::int64_t>(packed.number()));
    }
}

/// TensorProto: dims 1, data_type 2 (1 = float), float_data 4, name 8, raw_data 9.
OnnxTensor tensor(Bytes bytes, std::string& name) {
    OnnxTensor result;
    Fields fields(bytes);
    std::uint64_t type = 0;
    Bytes raw;
    for (Field f; fields.next(f);) {
        if (f.number == 1) {
            add_integers(f, result.shape);
        } else if (f.number == 2) {
            type = f.value;
        } else if (f.number == 4) {
            add_floats(f.bytes, result.values);
        } else if (f.number == 8) {
            name = text(f.bytes);
        } else if (f.number == 9) {
            raw = f.bytes;
        }
    }
    if (type == 1) {
        add_floats(raw, result.values);
    } else {
        result.values.clear();
    }
    return result;
}

/// AttributeProto: name 1, i 3, t 5, ints 8.
void attribute(Bytes bytes, OnnxNode& node, OnnxTensor& value) {
    std::string name, unused;
    std::vector<std::int64_t> numbers;
    Fields fields(bytes);
    for (Field f; fields.next(f);) {
        if (f.number == 1) {
            name = text(f.bytes);
        } else if (f.number == 3 || f.number == 8) {
            add_integers(f, numbers);
        } else if (f.number == 5) {
            value = tensor(f.bytes, unused);
        }
    }
    node.integers[name] = std::move(numbers);
}

/// ValueInfoProto: name 1.
std::string name_of(Bytes bytes) {
    Fields fields(bytes);
    for (Field f; fields.next(f);) {
        if (f.number == 1) {
            return text(f.bytes);
        }
    }
    return {};
}

/// NodeProto: input 1, output 2, op_type 4, attribute 5.
void add_node(Bytes bytes, OnnxGraph& graph) {
    OnnxNode node;
    OnnxTensor value;
    Fields fields(bytes);
    for (Field f; fields.next(f);) {
        if (f.number == 1) {
            node.inputs.push_back(text(f.bytes));
        } else if (f.number == 2) {
            node.outputs.push_back(text(f.bytes));
        } else if (f.number == 4) {
            node.kind = text(f.bytes);
        } else if (f.number == 5) {
            attribute(f.bytes, node, value);
        }
    }
    if (node.kind == "Constant" && !node.outputs.empty()) {
        graph.constants[node.outputs[0]] = std::move(value);
    } else {
        graph.nodes.push_back(std::move(node));
    }
}

}  // namespace

OnnxGraph read_onnx(Bytes bytes) {
    OnnxGraph graph;
    std::vector<std::string> inputs;
    Fields model(bytes);
    for (Field part; model.next(part);) {
        if (part.number != 7) {  // ModelProto: graph 7
            continue;
        }
        // GraphProto: node 1, initializer 5, input 11, output 12.
        Fields fields(part.bytes);
        for (Field f; fields.next(f);) {
            if (f.number == 1) {
                add_node(f.bytes, graph);
            } else if (f.number == 5) {
                std::string name;
                OnnxTensor value = tensor(f.bytes, name);
                graph.constants[name] = std::move(value);
            } else if (f.number == 11) {
                inputs.push_back(name_of(f.bytes));
            } else if (f.number == 12 && graph.output.empty()) {
                graph.output = name_of(f.bytes);
            }
        }
    }
    for (const std::string& input : inputs) {  // old files list the constants too
        if (graph.input.empty() && !graph.constants.contains(input)) {
            graph.input = input;
        }
    }
    return graph;
}

}  // namespace paleproof::survey
