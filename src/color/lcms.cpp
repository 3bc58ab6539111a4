// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/lcms.h"

#include <lcms2.h>

#include <algorithm>
#include <limits>

#include "core/error.h"

namespace paleproof::color::lcms {
namespace {

void keep_first_fault(cmsContext context, cmsUInt32Number, const char* text) {
    auto* fault = static_cast<std::string*>(cmsGetContextUserData(context));
    if (fault == nullptr || !fault->empty()) return;
    *fault = text;
    std::replace(fault->begin(), fault->end(), '\n', ' ');
}

std::string because(const Context& context) {
    return context.fault().empty() ? "" : " (" + context.fault() + ")";
}

/// ICC.1:2022, 7.2: class, color space and connection space are signatures of 7-bit ASCII, as
/// lcms2's enumerations have them. Others would be values that these cannot hold.
bool has_signatures(std::span<const std::uint8_t> icc) {
    constexpr std::size_t class_at = 12;
    constexpr std::size_t end_of_connection_space = 24;
    return icc.size() >= end_of_connection_space &&
           std::all_of(icc.begin() + class_at, icc.begin() + end_of_connection_space,
                       [](std::uint8_t byte) { return byte < 0x80; });
}

Profile checked(cmsHPROFILE profile) {
    if (profile == nullptr) {
        throw Error(ErrorKind::internal, "color profile", "out of memory for a built-in profile");
    }
    return Profile(profile);
}

cmsUInt32Number lcms_intent(Intent intent) {
    switch (intent) {
        case Intent::perceptual:
            return INTENT_PERCEPTUAL;
        case Intent::absolute:
            return INTENT_ABSOLUTE_COLORIMETRIC;
        case Intent::relative:
            break;
    }
    return INTENT_RELATIVE_COLORIMETRIC;
}

std::string space_name(cmsColorSpaceSignature space) {
    switch (space) {
        case cmsSigGrayData:
            return "gray";
        case cmsSigRgbData:
            return "RGB";
        case cmsSigCmykData:
            return "CMYK";
        case cmsSigLabData:
            return "Lab";
        case cmsSigXYZData:
            return "XYZ";
        default:
            return std::to_string(cmsChannelsOf(space)) + "-channel";
    }
}

std::string class_name(cmsProfileClassSignature profile_class) {
    switch (profile_class) {
        case cmsSigInputClass:
            return "input";
        case cmsSigDisplayClass:
            return "display";
        case cmsSigOutputClass:
            return "output";
        case cmsSigLinkClass:
            return "device link";
        case cmsSigAbstractClass:
            return "abstract";
        case cmsSigColorSpaceClass:
            return "color space";
        case cmsSigNamedColorClass:
            return "named color";
        default:
            return "unknown";
    }
}

}  // namespace

Context::Context() : context_(cmsCreateContext(nullptr, &fault_)) {
    if (context_ == nullptr) {
        throw Error(ErrorKind::internal, "color profile", "out of memory for a color context");
    }
    cmsSetLogErrorHandlerTHR(context_, keep_first_fault);
}

Context::~Context() { cmsDeleteContext(context_); }

void CloseProfile::operator()(void* profile) const { cmsCloseProfile(profile); }

void DeleteTransform::operator()(void* transform) const { cmsDeleteTransform(transform); }

Profile open_profile(const Context& context, std::span<const std::uint8_t> icc,
                     const std::string& subject) {
    cmsHPROFILE profile = nullptr;
    if (icc.size() <= std::numeric_limits<cmsUInt32Number>::max() && has_signatures(icc)) {
        profile = cmsOpenProfileFromMemTHR(context.get(), icc.data(),
                                           static_cast<cmsUInt32Number>(icc.size()));
    }
    if (profile == nullptr) {
        throw Error(ErrorKind::format, subject,
                    "expected an ICC profile, found " + std::to_string(icc.size()) +
                        " bytes that are none" + because(context));
    }
    return Profile(profile);
}

Profile srgb_profile(const Context& context) {
    return checked(cmsCreate_sRGBProfileTHR(context.get()));
}

Profile lab_profile(const Context& context) {
    return checked(cmsCreateLab4ProfileTHR(context.get(), nullptr));
}

Transform transform(const Context& context, const Profile& from, const Profile& to,
                    const TransformKind& kind, const std::string& subject) {
    cmsUInt32Number flags = kind.exact ? cmsFLAGS_NOOPTIMIZE : cmsFLAGS_HIGHRESPRECALC;
    if (kind.black_point_compensation) flags |= cmsFLAGS_BLACKPOINTCOMPENSATION;
    cmsHTRANSFORM made =
        cmsCreateTransformTHR(context.get(), from.get(), kind.input_format, to.get(),
                              kind.output_format, lcms_intent(kind.intent), flags);
    if (made == nullptr) {
        throw Error(ErrorKind::format, subject,
                    "expected a profile that can be converted, found a " + described(from) +
                        " and a " + described(to) + " that cannot be joined" + because(context));
    }
    return Transform(made);
}

void apply(const Transform& transform, const void* in, void* out, std::size_t pixels) {
    // lcms2 counts pixels with 32 bits; callers convert rows, so the count is far below.
    cmsDoTransform(transform.get(), in, out, static_cast<cmsUInt32Number>(pixels));
}

std::string described(const Profile& profile) {
    return space_name(cmsGetColorSpace(profile.get())) + " " +
           class_name(cmsGetDeviceClass(profile.get())) + " profile";
}

}  // namespace paleproof::color::lcms
