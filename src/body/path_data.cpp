#include "body/path_data.h"

#include <fmt/format.h>

#include <charconv>
#include <cstring>

namespace witnessline::body {
namespace {

constexpr double pi = 3.14159265358979323846;

Cubic line(Vec2d a, Vec2d b) { return {a, a + (1.0 / 3) * (b - a), a + (2.0 / 3) * (b - a), b}; }
Cubic raised(Vec2d a, Vec2d q, Vec2d b) { return {a, a + (2.0 / 3) * (q - a), b + (2.0 / 3) * (q - b), b}; }

/// Elliptical arc as cubics of at most 22.5 degrees (SVG 1.1, appendix F.6); radial error below 1e-7 of the radius.
void add_arc(Loop& out, Vec2d a, double rx, double ry, double turn_deg, bool large, bool sweep, Vec2d b) {
  rx = std::abs(rx), ry = std::abs(ry);
  if (rx < 1e-12 || ry < 1e-12) {
    out.push_back(line(a, b));
    return;
  }
  const double phi = turn_deg * pi / 180, c = std::cos(phi), s = std::sin(phi);
  const Vec2d half = 0.5 * (a - b);
  const Vec2d q{c * half.x + s * half.y, -s * half.x + c * half.y};
  const double lambda = (q.x * q.x) / (rx * rx) + (q.y * q.y) / (ry * ry);
  if (lambda > 1) rx *= std::sqrt(lambda), ry *= std::sqrt(lambda);
  const double denominator = rx * rx * q.y * q.y + ry * ry * q.x * q.x;
  double k = denominator > 0 ? std::sqrt(std::max(0.0, rx * rx * ry * ry / denominator - 1)) : 0.0;
  if (large == sweep) k = -k;
  const Vec2d centre_turned{k * rx * q.y / ry, -k * ry * q.x / rx};
  const Vec2d middle = 0.5 * (a + b);
  const Vec2d centre{c * centre_turned.x - s * centre_turned.y + middle.x,
                     s * centre_turned.x + c * centre_turned.y + middle.y};
  const double from = std::atan2((q.y - centre_turned.y) / ry, (q.x - centre_turned.x) / rx);
  double sweep_angle = std::atan2((-q.y - centre_turned.y) / ry, (-q.x - centre_turned.x) / rx) - from;
  if (sweep && sweep_angle < 0) sweep_angle += 2 * pi;
  if (!sweep && sweep_angle > 0) sweep_angle -= 2 * pi;
  const int pieces = std::max(1, static_cast<int>(std::ceil(std::abs(sweep_angle) / (pi / 8) - 1e-9)));
  const double step = sweep_angle / pieces, handle = 4.0 / 3 * std::tan(step / 4);
  const auto place = [&](double u, double v) {
    return Vec2d{centre.x + c * rx * u - s * ry * v, centre.y + s * rx * u + c * ry * v};
  };
  for (int i = 0; i < pieces; ++i) {
    const double t0 = from + i * step, t1 = t0 + step;
    Cubic piece{place(std::cos(t0), std::sin(t0)),
                place(std::cos(t0) - handle * std::sin(t0), std::sin(t0) + handle * std::cos(t0)),
                place(std::cos(t1) + handle * std::sin(t1), std::sin(t1) - handle * std::cos(t1)),
                place(std::cos(t1), std::sin(t1))};
    if (i == 0) piece[0] = a;
    if (i + 1 == pieces) piece[3] = b;
    out.push_back(piece);
  }
}

class Reader {
 public:
  Reader(const std::string& data, std::optional<PathFault>& fault) : data_(data), fault_(fault) {}

  std::vector<Subpath> read() {
    char letter = 0;
    while (!fault_) {
      skip();
      if (at_ >= data_.size()) break;
      const char c = data_[at_];
      if (std::isalpha(static_cast<unsigned char>(c))) {
        if (!std::strchr("MmLlHhVvCcSsQqTtAaZz", c)) return fail(fmt::format("'{}' is not a path command", c));
        letter = c;
        ++at_;
      } else if (letter == 0 || letter == 'Z' || letter == 'z') {
        return fail("a number where a command letter should be");
      } else if (letter == 'M') {
        letter = 'L';
      } else if (letter == 'm') {
        letter = 'l';
      }
      if (out_.empty() && letter != 'M' && letter != 'm') return fail("a path begins with M");
      draw(letter);
    }
    std::erase_if(out_, [](const Subpath& s) { return s.curves.empty(); });
    return std::move(out_);
  }

 private:
  std::vector<Subpath> fail(std::string what) {
    if (!fault_) fault_ = PathFault{std::move(what), at_};
    return {};
  }
  void skip() {
    while (at_ < data_.size() && (std::isspace(static_cast<unsigned char>(data_[at_])) || data_[at_] == ',')) ++at_;
  }
  double number() {
    skip();
    std::size_t from = at_;
    if (from < data_.size() && data_[from] == '+') ++from;
    double value = 0;
    const auto [end, code] = std::from_chars(data_.data() + from, data_.data() + data_.size(), value);
    if (code != std::errc{} || !(std::abs(value) < 1e9)) {
      fail("a number is missing or cannot be read");
      return 0;
    }
    at_ = static_cast<std::size_t>(end - data_.data());
    return value;
  }
  bool flag() {
    skip();
    if (at_ < data_.size() && (data_[at_] == '0' || data_[at_] == '1')) return data_[at_++] == '1';
    fail("an arc's flag must be 0 or 1");
    return false;
  }
  Vec2d point(bool relative) {
    const double x = number(), y = number();
    return relative ? Vec2d{here_.x + x, here_.y + y} : Vec2d{x, y};
  }
  void add(const Cubic& curve) {
    if (out_.back().closed) out_.push_back({});
    const double reach = length(curve[1] - curve[0]) + length(curve[2] - curve[1]) + length(curve[3] - curve[2]);
    if (reach > 1e-9) out_.back().curves.push_back(curve);
    here_ = curve[3];
  }
  void draw(char letter) {
    const bool relative = std::islower(static_cast<unsigned char>(letter));
    const char kind = static_cast<char>(std::toupper(static_cast<unsigned char>(letter)));
    Vec2d control = here_;
    switch (kind) {
      case 'M':
        here_ = start_ = point(relative);
        out_.push_back({});
        control = here_;
        break;
      case 'L':
        add(line(here_, point(relative)));
        break;
      case 'H': {
        const double x = number();
        add(line(here_, {relative ? here_.x + x : x, here_.y}));
        break;
      }
      case 'V': {
        const double y = number();
        add(line(here_, {here_.x, relative ? here_.y + y : y}));
        break;
      }
      case 'C':
      case 'S': {
        const Vec2d first = kind == 'C'                        ? point(relative)
                            : before_ == 'C' || before_ == 'S' ? 2.0 * here_ - control_
                                                               : here_;
        control = point(relative);
        add({here_, first, control, point(relative)});
        break;
      }
      case 'Q':
      case 'T': {
        control = kind == 'Q' ? point(relative) : before_ == 'Q' || before_ == 'T' ? 2.0 * here_ - control_ : here_;
        add(raised(here_, control, point(relative)));
        break;
      }
      case 'A': {
        const double rx = number(), ry = number(), turn = number();
        const bool large = flag(), sweep = flag();
        const Vec2d to = point(relative);
        if (fault_ || length(to - here_) < 1e-12) break;
        Loop arc;
        add_arc(arc, here_, rx, ry, turn, large, sweep, to);
        for (const Cubic& c : arc) add(c);
        break;
      }
      case 'Z':
        if (length(start_ - here_) > 1e-9) add(line(here_, start_));
        if (!out_.empty()) out_.back().closed = true;
        here_ = start_;
        break;
    }
    control_ = kind == 'C' || kind == 'S' || kind == 'Q' || kind == 'T' ? control : here_;
    before_ = kind;
  }

  const std::string& data_;
  std::optional<PathFault>& fault_;
  std::size_t at_ = 0;
  std::vector<Subpath> out_;
  Vec2d here_, start_, control_;
  char before_ = 0;
};

}  // namespace

std::vector<Subpath> read_path_data(const std::string& data, std::optional<PathFault>& fault) {
  fault.reset();
  std::vector<Subpath> out = Reader(data, fault).read();
  if (fault) out.clear();
  return out;
}

}  // namespace witnessline::body
