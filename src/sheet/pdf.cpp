// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/qpdf.h"  // before all others

#include "sheet/pdf.h"

#include <algorithm>
#include <exception>
#include <memory>
#include <set>

#include "core/error.h"
#include "core/format.h"
#include "sheet/page_content.h"
#include "sheet/pdf_file.h"
#include "sheet/stroke_font.h"

namespace paleproof::sheet {
namespace {

using Object = QPDFObjectHandle;

/// Hands a face's packed picture to the writer when its turn comes, and drops it again.
class FacePixels : public Object::StreamDataProvider {
  public:
    FacePixels(std::size_t face, const FacePage& page, const FaceSource& source,
               std::exception_ptr& failure)
        : face_(face), page_(page), source_(source), failure_(failure) {}

    void provideStreamData(QPDFObjGen const&, Pipeline* pipeline) override {
        // qpdf turns exceptions into others; ours is kept aside for the caller.
        try {
            const PackedImage image = source_(face_);
            if (image.width != page_.size_px.width || image.height != page_.size_px.height ||
                image.channels != page_.channels || image.bits != page_.bits ||
                image.group4 != page_.group4 || image.zlib.empty()) {
                throw Error(ErrorKind::internal, page_.name,
                            "expected a picture of the size and kind that was announced, got "
                            "another");
            }
            pipeline->write(image.zlib.data(), image.zlib.size());
            pipeline->finish();
        } catch (...) {
            if (!failure_) failure_ = std::current_exception();
            throw;
        }
    }

  private:
    std::size_t face_;
    const FacePage& page_;
    const FaceSource& source_;
    std::exception_ptr& failure_;
};

Object name(const char* text) { return Object::newName(text); }

/// Text of a person, as a PDF string; bytes that are no UTF-8 are replaced.
Object text_string(const std::string& text) {
    return Object::newUnicodeString(utf8(characters(text)));
}

std::string xml_escaped(const std::string& text) {
    std::string result;
    for (const char c : utf8(characters(text))) {
        switch (c) {
            case '&':
                result += "&amp;";
                break;
            case '<':
                result += "&lt;";
                break;
            case '>':
                result += "&gt;";
                break;
            default:
                result += c;
        }
    }
    return result;
}

class Document {
  public:
    Document(std::span<const FacePage> faces, const FaceSource& source, const PdfOptions& options)
        : faces_(faces), source_(source), options_(options), images_(faces.size()) {
        pdf_.emptyPDF();
        Object info = pdf_.makeIndirectObject(Object::newDictionary());
        info.replaceKey("/Title", text_string(options.title));
        info.replaceKey("/Producer", text_string(options.producer));
        pdf_.getTrailer().replaceKey("/Info", info);
        Object preferences = Object::newDictionary();
        preferences.replaceKey("/PrintScaling", name("/None"));
        preferences.replaceKey("/DisplayDocTitle", Object::newBool(true));
        pdf_.getRoot().replaceKey("/ViewerPreferences", preferences);
        add_metadata();
        add_output_intent();
    }

    [[nodiscard]] Object root() { return pdf_.getRoot(); }
    [[nodiscard]] Object preferences() { return root().getKey("/ViewerPreferences"); }

    [[nodiscard]] static Object box(Mm left, Mm bottom, Mm right, Mm top) {
        Object array = Object::newArray();
        for (const Mm value : {left, bottom, right, top}) {
            array.appendItem(Object::newReal(pdf_points(value)));
        }
        return array;
    }

    /// A page that shows some of the faces. The caller adds further boxes to what comes back.
    Object add_page(SizeMm size, const std::string& content, const std::set<std::size_t>& shown,
                    bool lettering) {
        Object pictures = Object::newDictionary();
        for (const std::size_t face : shown) {
            pictures.replaceKey(face_resource(face), image(face));
        }
        Object resources = Object::newDictionary();
        if (!shown.empty()) resources.replaceKey("/XObject", pictures);
        if (lettering) {
            if (!font_.isInitialized()) {
                font_ = pdf_.makeIndirectObject(Object::newDictionary());
            }
            Object fonts = Object::newDictionary();
            fonts.replaceKey(font_resource, font_);
            resources.replaceKey("/Font", fonts);
        }
        Object page = pdf_.makeIndirectObject(Object::newDictionary());
        page.replaceKey("/Type", name("/Page"));
        page.replaceKey("/MediaBox", box({0.0}, {0.0}, size.width, size.height));
        page.replaceKey("/Resources", resources);
        // A blank page has none: Ghostscript takes an empty stream for a fault.
        if (!content.empty()) page.replaceKey("/Contents", pdf_.newStream(content));
        pdf_.addPage(page, false);
        return page;
    }

    /// Fills in the font once all text is known.
    void finish_lettering(const Lettering& lettering) {
        if (!font_.isInitialized()) return;
        Object drawings = Object::newDictionary();
        Object differences = Object::newArray();
        Object widths = Object::newArray();
        differences.appendItem(Object::newInteger(0));
        const auto& letters = lettering.characters();
        for (std::size_t code = 0; code < letters.size(); ++code) {
            const std::string glyph_name = "/g" + std::to_string(code);
            drawings.replaceKey(glyph_name, pdf_.newStream(Lettering::drawing(letters[code])));
            differences.appendItem(name(glyph_name.c_str()));
            widths.appendItem(Object::newReal(pdf_number(glyph(letters[code]).advance)));
        }
        Object encoding = Object::newDictionary();
        encoding.replaceKey("/Type", name("/Encoding"));
        encoding.replaceKey("/Differences", differences);
        const std::string scale = "0.0714286";  // 1 / font_cap_height: set in cap heights
        Object matrix = Object::newArray();
        for (const std::string& value : {scale, std::string("0"), std::string("0"), scale,
                                         std::string("0"), std::string("0")}) {
            matrix.appendItem(Object::newReal(value));
        }
        Object bounds = Object::newArray();
        for (const int value : {-3, -6, 22, 21}) bounds.appendItem(Object::newInteger(value));
        font_.replaceKey("/Type", name("/Font"));
        font_.replaceKey("/Subtype", name("/Type3"));
        font_.replaceKey("/FontBBox", bounds);
        font_.replaceKey("/FontMatrix", matrix);
        font_.replaceKey("/CharProcs", drawings);
        font_.replaceKey("/Encoding", encoding);
        font_.replaceKey("/FirstChar", Object::newInteger(0));
        font_.replaceKey("/LastChar", Object::newInteger(static_cast<int>(letters.size()) - 1));
        font_.replaceKey("/Widths", widths);
        font_.replaceKey("/Resources", Object::newDictionary());
        font_.replaceKey("/ToUnicode", pdf_.newStream(unicode_map(letters)));
    }

    void write(const std::filesystem::path& file) {
        if (pdf_.getAllPages().empty()) {
            throw Error(ErrorKind::usage, file.string(),
                        "expected at least one page to write, got none; give a card copies");
        }
        try {
            PdfFile to(file);
            QPDFWriter writer(pdf_);
            writer.setOutputPipeline(&to);
            writer.setStaticID(true);  // filled in afterwards
            writer.setMinimumPDFVersion("1.7");
            writer.setObjectStreamMode(qpdf_o_generate);
            writer.setDecodeLevel(qpdf_dl_none);
            writer.setCompressStreams(true);
            writer.setRecompressFlate(false);
            writer.write();
            to.close_with_id();
        } catch (const std::exception& fault) {
            if (failure_) std::rethrow_exception(failure_);
            throw Error(ErrorKind::file, file.string(),
                        std::string("expected a file that can be written, got: ") + fault.what());
        }
    }

  private:
    Object image(std::size_t face) {
        if (images_[face].isInitialized()) return images_[face];
        const FacePage& page = faces_[face];
        Object parameters = Object::newDictionary();
        parameters.replaceKey("/Columns", Object::newInteger(page.size_px.width));
        if (page.group4) {
            // ISO 32000-1, 7.4.6: T.6 has K < 0; 1 bits are white unless BlackIs1.
            parameters.replaceKey("/K", Object::newInteger(-1));
            parameters.replaceKey("/Rows", Object::newInteger(page.size_px.height));
        } else {
            parameters.replaceKey("/Predictor", Object::newInteger(15));
            parameters.replaceKey("/Colors", Object::newInteger(page.channels));
            parameters.replaceKey("/BitsPerComponent", Object::newInteger(page.bits));
        }
        Object stream = pdf_.newStream();
        Object dictionary = stream.getDict();
        dictionary.replaceKey("/Type", name("/XObject"));
        dictionary.replaceKey("/Subtype", name("/Image"));
        dictionary.replaceKey("/Width", Object::newInteger(page.size_px.width));
        dictionary.replaceKey("/Height", Object::newInteger(page.size_px.height));
        dictionary.replaceKey("/ColorSpace", page.channels == 1   ? name("/DeviceGray")
                                             : page.channels == 4 ? name("/DeviceCMYK")
                                                                  : rgb_space());
        dictionary.replaceKey("/BitsPerComponent", Object::newInteger(page.bits));
        stream.replaceStreamData(std::make_shared<FacePixels>(face, page, source_, failure_),
                                 name(page.group4 ? "/CCITTFaxDecode" : "/FlateDecode"),
                                 parameters);
        stream.setFilterOnWrite(false);
        return images_[face] = stream;
    }

    Object rgb_space() {
        if (options_.srgb_icc.empty()) return name("/DeviceRGB");
        if (!rgb_space_.isInitialized()) {
            Object profile =
                pdf_.newStream(std::string(options_.srgb_icc.begin(), options_.srgb_icc.end()));
            profile.getDict().replaceKey("/N", Object::newInteger(3));
            rgb_space_ = Object::newArray();
            rgb_space_.appendItem(name("/ICCBased"));
            rgb_space_.appendItem(profile);
            rgb_space_ = pdf_.makeIndirectObject(rgb_space_);
        }
        return rgb_space_;
    }

    /// ISO 32000-1, 14.11.5; the subtype is that of PDF/X, which printers read.
    void add_output_intent() {
        if (!options_.output_intent) return;
        const OutputIntent& condition = *options_.output_intent;
        Object profile = pdf_.newStream(std::string(condition.icc.begin(), condition.icc.end()));
        profile.getDict().replaceKey("/N", Object::newInteger(4));
        Object intent = Object::newDictionary();
        intent.replaceKey("/Type", name("/OutputIntent"));
        intent.replaceKey("/S", name("/GTS_PDFX"));
        intent.replaceKey("/OutputConditionIdentifier", text_string("Custom"));
        intent.replaceKey("/Info", text_string(condition.name));
        intent.replaceKey("/DestOutputProfile", profile);
        Object intents = Object::newArray();
        intents.appendItem(intent);
        root().replaceKey("/OutputIntents", intents);
    }

    void add_metadata() {
        const std::string packet =
            "<?xpacket begin=\"\xef\xbb\xbf\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"
            "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n"
            "<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n"
            "<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" "
            "xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\n"
            "<dc:format>application/pdf</dc:format>\n"
            "<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">" +
            xml_escaped(options_.title) +
            "</rdf:li></rdf:Alt></dc:title>\n"
            "<pdf:Producer>" +
            xml_escaped(options_.producer) +
            "</pdf:Producer>\n"
            "</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>\n";
        Object metadata = pdf_.newStream(packet);
        metadata.getDict().replaceKey("/Type", name("/Metadata"));
        metadata.getDict().replaceKey("/Subtype", name("/XML"));
        metadata.setFilterOnWrite(false);
        root().replaceKey("/Metadata", metadata);
    }

    /// ToUnicode CMap (ISO 32000-1, 9.10.3), so that the lettering can be searched and copied.
    static std::string unicode_map(const std::vector<char32_t>& letters) {
        std::string map =
            "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
            "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
            "/CMapName /Lettering def\n/CMapType 2 def\n"
            "1 begincodespacerange\n<00> <FF>\nendcodespacerange\n";
        constexpr std::size_t block = 100;  // the most that one block may have
        for (std::size_t begin = 0; begin < letters.size(); begin += block) {
            const std::size_t end = std::min(begin + block, letters.size());
            map += std::to_string(end - begin) + " beginbfchar\n";
            for (std::size_t code = begin; code < end; ++code) {
                const auto c = static_cast<unsigned>(letters[code]);
                map += '<';
                map += upper_hex(code, 2);
                map += "> <";
                if (c < 0x10000U) {
                    map += upper_hex(c, 4);
                } else {
                    map += upper_hex(0xd800U + ((c - 0x10000U) >> 10U), 4);
                    map += upper_hex(0xdc00U + ((c - 0x10000U) & 0x3ffU), 4);
                }
                map += ">\n";
            }
            map += "endbfchar\n";
        }
        return map + "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n";
    }

    std::span<const FacePage> faces_;
    const FaceSource& source_;
    const PdfOptions& options_;
    std::exception_ptr failure_;
    QPDF pdf_;
    std::vector<Object> images_;
    Object rgb_space_;
    Object font_;
};

const char* duplex_name(Duplex duplex) {
    switch (duplex) {
        case Duplex::long_edge:
            return "/DuplexFlipLongEdge";
        case Duplex::short_edge:
            return "/DuplexFlipShortEdge";
        case Duplex::none:
            break;
    }
    return "/Simplex";
}

}  // namespace

void write_pages_pdf(const std::filesystem::path& file, std::span<const FacePage> faces,
                     const FaceSource& source, const PdfOptions& options) {
    Document document(faces, source, options);
    Object labels = Object::newArray();
    for (std::size_t i = 0; i < faces.size(); ++i) {
        const FaceShape& shape = faces[i].shape;
        const SizeMm size{shape.trim.width + shape.bleed.left + shape.bleed.right,
                          shape.trim.height + shape.bleed.top + shape.bleed.bottom};
        Object page = document.add_page(size, face_content(i, size), {i}, false);
        page.replaceKey("/BleedBox", Document::box({0.0}, {0.0}, size.width, size.height));
        page.replaceKey("/TrimBox", Document::box(shape.bleed.left, shape.bleed.bottom,
                                                  shape.bleed.left + shape.trim.width,
                                                  shape.bleed.bottom + shape.trim.height));
        Object label = Object::newDictionary();
        label.replaceKey("/P", text_string(faces[i].name));
        labels.appendItem(Object::newInteger(static_cast<int>(i)));
        labels.appendItem(label);
    }
    Object tree = Object::newDictionary();
    tree.replaceKey("/Nums", labels);
    document.root().replaceKey("/PageLabels", tree);
    document.write(file);
}

void write_sheets_pdf(const std::filesystem::path& file, const Imposition& imposition,
                      std::span<const FacePage> faces, const FaceSource& source,
                      const PdfOptions& options) {
    Document document(faces, source, options);
    Object preferences = document.preferences();
    preferences.replaceKey("/Duplex", name(duplex_name(imposition.options.duplex)));
    preferences.replaceKey("/PickTrayByPDFSize", Object::newBool(true));
    Lettering lettering;
    for (const SheetPage& page : imposition.pages) {
        std::set<std::size_t> shown;
        for (const Place& place : page.places) {
            if (place.face >= faces.size()) {
                throw Error(ErrorKind::internal, "sheets",
                            "expected places that name faces of the list, got one that does not");
            }
            if (!place.light) shown.insert(place.face);
        }
        document.add_page(page.size, sheet_content(page, imposition.options, faces, lettering),
                          shown, !page.texts.empty());
    }
    document.finish_lettering(lettering);
    document.write(file);
}

}  // namespace paleproof::sheet
