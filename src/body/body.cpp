#include "body/body.h"

#include <cstring>

#include "base/parallel.h"
#include "base/random.h"
#include "base/result.h"
#include "body/body_data.h"

namespace witnessline::body {
namespace {

constexpr std::size_t chunk = 1024;

template <class T>
Key with_all(Key key, const std::vector<T>& list) {
  const auto* bytes = reinterpret_cast<const unsigned char*>(list.data());
  const std::size_t size = list.size() * sizeof(T);
  key = key.with(std::uint64_t{size});
  for (std::size_t i = 0; i < size; i += 8) {
    std::uint64_t word = 0;
    std::memcpy(&word, bytes + i, std::min<std::size_t>(8, size - i));
    key.bits = mixed(key.bits ^ word);
  }
  return key;
}

}  // namespace

void Body::Data::settle() {
  areas_m2.assign(positions.size(), 0.0f);
  std::vector<double> share(positions.size(), 0);
  area_m2 = volume_m3 = 0;
  for (const Triangle& t : triangles) {
    const Vec3d a = positions[t[0]], b = positions[t[1]], c = positions[t[2]];
    const double area = 0.5 * length(cross(b - a, c - a));
    area_m2 += area;
    volume_m3 += dot(a, cross(b, c)) / 6;
    for (const std::uint32_t v : t) share[v] += area / 3;
  }
  for (std::size_t i = 0; i < share.size(); ++i) areas_m2[i] = static_cast<float>(share[i]);
  regions_present = 0;
  for (const std::uint16_t bits : region_bits) regions_present |= bits;
  Key key;
  key = with_all(key, positions);
  key = with_all(key, triangles);
  key = with_all(key, region_bits);
  key = with_all(key, wood_of);
  for (const std::string& wood : woods) key = key.with(std::string_view(wood));
  for (const SurveyFact& f : survey) {
    key = key.with(static_cast<std::uint64_t>(f.fact)).at(f.centre.x, f.centre.y, f.centre.z);
    key = key.at(f.radius_m, f.depth_m, 0).with(std::string_view(f.remark));
  }
  hash = key.bits;
}

const TriangleTree& Body::Data::tree() const {
  std::call_once(grown_, [&] { tree_ = std::make_unique<TriangleTree>(positions, triangles); });
  return *tree_;
}

Body::Body(std::shared_ptr<const Data> data) : data_(std::move(data)) {
  expects(data_ != nullptr && !data_->positions.empty(), "a body has a surface");
}
std::span<const Vec3> Body::positions() const { return data_->positions; }
std::span<const Triangle> Body::triangles() const { return data_->triangles; }
std::span<const Vec3> Body::normals() const { return data_->normals; }
std::span<const float> Body::areas_m2() const { return data_->areas_m2; }
std::span<const float> Body::curvature_min() const { return data_->curvature_min; }
std::span<const float> Body::curvature_max() const { return data_->curvature_max; }
std::span<const Vec3> Body::grain() const { return data_->grain; }
std::span<const std::uint8_t> Body::wood_of() const { return data_->wood_of; }
const std::vector<std::string>& Body::woods() const { return data_->woods; }
const std::vector<SurveyFact>& Body::survey() const { return data_->survey; }
double Body::area_m2() const { return data_->area_m2; }
double Body::volume_m3() const { return data_->volume_m3; }
double Body::pitch_m() const { return data_->pitch_m; }
bool Body::in(std::size_t vertex, Region region) const {
  return data_->region_bits[vertex] >> static_cast<int>(region) & 1;
}
bool Body::has(Region region) const { return data_->regions_present >> static_cast<int>(region) & 1; }
std::span<const std::uint16_t> Body::region_bits() const { return data_->region_bits; }
std::uint64_t Body::hash() const { return data_->hash; }

std::vector<Hit> Body::cast(std::span<const Ray> rays) const {
  std::vector<Hit> hits(rays.size());
  const TriangleTree& tree = data_->tree();
  for_chunks(rays.size(), chunk, [&](std::size_t begin, std::size_t end) {
    tree.cast(rays.subspan(begin, end - begin), std::span(hits).subspan(begin, end - begin));
  });
  return hits;
}

std::vector<SurfacePoint> Body::nearest(std::span<const Vec3> places) const {
  std::vector<SurfacePoint> out(places.size());
  const TriangleTree& tree = data_->tree();
  for_chunks(places.size(), chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) out[i] = tree.nearest(places[i]).at;
  });
  return out;
}

const TriangleTree& Body::tree() const { return data_->tree(); }

Vec3 Body::position(SurfacePoint at) const {
  const Triangle& t = data_->triangles[at.triangle];
  const Vec3d a = data_->positions[t[0]], b = data_->positions[t[1]], c = data_->positions[t[2]];
  return static_cast<Vec3>(a + double(at.u) * (b - a) + double(at.v) * (c - a));
}

}  // namespace witnessline::body
