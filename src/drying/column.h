// DryingColumn: solvent moving through a column of coats and leaving into the air, solved in solids-fixed coordinates.
#pragma once

#include <functional>
#include <memory>
#include <vector>

#include "drying/transport.h"

namespace witnessline::drying {

/// How finely a column is solved.
struct ColumnAccuracy {
  double tolerance = 2e-3;  ///< local error a step, relative to each cell's solvent
  int cells = 12;           ///< of the outermost coat, finer towards the air
  int buried_cells = 4;     ///< of a coat that is covered; `cells` is a multiple of it
  double grading = 0.80;    ///< thickness of a cell over that of the one below it
};

/// One-dimensional loss of one solvent through coats of one or several materials [m of solvent a m2 of face].
/// Law: du/dt = -dJ/dz over the dry thickness z (solids stand still, the film shrinks exactly by what leaves), J from
/// Transport inside a coat, equal activity where coats meet, J = AirSide(activity) at the face, nothing through the
/// wood (or wood as the first coat). Source: crank1975, ch. 10.6; solved by RODAS3 (sandu1997), third order in time for
/// smooth problems, finite volumes of second order in z.
/// Valid: one solvent (the slow end of a blend). Departs: no heat in the film beyond the air side's balance, no stress
/// or relaxation in the glass, coats do not mix.
/// What leaves one cell enters the next, and linear invariants pass a Rosenbrock step unchanged: solvent left + gone =
/// laid, to rounding.
class DryingColumn {
 public:
  explicit DryingColumn(AirSide, ColumnAccuracy = {});

  /// Lays a coat over all others; its solvent is spread evenly. Covered coats go to fewer cells, volumes kept.
  void lay(const std::shared_ptr<const Transport>&, double dry_m, double solvent_m);
  /// Shapes the solvent inside every coat as in a film that has been drying: steady curves, each coat's volume kept.
  void settle();
  /// Lets it dry. `seen` is called with the seconds since this call after every step, may be empty.
  /// False: the smallest step was reached before the end (says a Note upstream).
  bool dry(double duration_s, const std::function<void(double since_s)>& seen = {});

  std::size_t coats() const { return coats_.size(); }
  double dry_m(std::size_t coat) const;
  double solvent_m(std::size_t coat) const;
  double solvent_m() const;
  double laid_m() const { return laid_m_; }
  double gone_m() const { return gone_m_; }  ///< into the air
  /// Volume fraction of solvent over the outermost `depth_m` of dry film [1]; 0 for no film.
  double outer_fraction(double depth_m) const;
  /// The largest outer_fraction() of any depth down to this one, by cells: never falls with depth.
  double softest_outer_fraction(double depth_m) const;
  int steps_taken() const { return steps_; }

  /// Rates of every cell's solvent per dry volume [1/s]; last: what goes into the air [m/s]. For checking against other
  /// solvers.
  void rates(const std::vector<double>& cells, std::vector<double>& rates) const;
  const std::vector<double>& cells() const { return u_; }
  void set_cells(std::vector<double>, double gone_m);

 private:
  struct Coat {
    std::shared_ptr<const Transport> transport;
    std::size_t begin, end;  ///< cells
  };
  AirSide air_;
  ColumnAccuracy accuracy_;
  std::vector<Coat> coats_;
  std::vector<const Transport*> transport_;  ///< a cell
  std::vector<double> z_m_, u_;              ///< dry thickness of a cell; solvent per dry volume
  double laid_m_ = 0, gone_m_ = 0, step_s_ = 0;
  int steps_ = 0;

  struct Work {
    std::vector<double> flux_potential, slope, share, at, rate, lower, diagonal, upper, next, k[4];
    std::vector<double> meeting;  ///< last activity where two materials meet, and at the face
  };
  mutable Work work_;

  void coarsen(Coat&);
  double balance(const std::vector<double>& u, std::vector<double>& rate, bool slopes) const;
  void eliminate(double shift_per_s) const;
  void substitute(std::vector<double>& k) const;
  double step(double h_s, double& next_gone_m) const;
  void euler_step(double h_s, double& next_gone_m) const;
};

}  // namespace witnessline::drying
