/* SPDX-License-Identifier: MIT */
#include "check.h"
#include "difference.h"
#include "physics/flow.h"

#define PI 3.14159265358979323846
#define RHO 1.2041 /* 20 degC */
#define MU 1.8134e-5
#define FOOT 0.3048

/* ---- friction ---- */

static void friction_published(void)
{
	static const struct { double Re, e, f; } row[] = {
		{4e3, 0.01, 0.049082}, {1e4, 0.001, 0.032382}, {3e4, 0.005, 0.033245}, {3e4, 0.03, 0.058182},
		{2e4, 0, 0.025883}, {1e5, 0.05, 0.071781}, {1e6, 1e-5, 0.011870},
	};

	CHECK_REL(inw_duct_friction(1e5, 1e-4).f, 0.018513866077471, 1e-13,
		"Colebrook 1939, as printed by an open numerical library");
	for (int i = 0; i < 7; i++)
		CHECK_ABS(inw_duct_friction(row[i].Re, row[i].e).f, row[i].f, 6e-7, "Colebrook 1939, solved independently");
	CHECK_REL(inw_duct_friction(100600, 0).f, 0.0179, 5e-3, "Crane TP-410 example 7-1, smooth pipe (read off a chart)");
	CHECK_REL(inw_duct_friction(1000, 0.02).f, 0.064, 1e-15, "Hagen-Poiseuille, 64/Re");
}

/* Haaland 1983: 1/sqrt f = -1.8 log10[(e/3.7)^1.11 + 6.9/Re]; within 1.42 % of Colebrook over this range */
static double haaland(double Re, double e)
{
	double x = -1.8 * log10(pow(e / 3.7, 1.11) + 6.9 / Re);

	return 1 / (x * x);
}

static void friction_haaland(void)
{
	double worst = 0;

	CHECK_REL(
		haaland(1e5, 1e-4), 0.018265053014794, 1e-12, "Haaland 1983, as printed by an open numerical library");
	for (double r = log(4e3); r < log(1e8); r += 0.05)
		for (double e = log(1e-6); e < log(0.05); e += 0.05)
			worst = fmax(worst, fabs(haaland(exp(r), exp(e)) / inw_duct_friction(exp(r), exp(e)).f - 1));
	CHECK_ABS(worst, 0.0142, 1e-4, "Haaland 1983 against Colebrook 1939: largest difference");
}

static double friction_of(const double *a)
{
	return inw_duct_friction(a[0], a[1]).f;
}

static void friction_derivatives(void)
{
	uint64_t seed = 1;

	for (int i = 0; i < 1000; i++) {
		double a[DIFFERENCE_ARGS] = {between_log(&seed, 50, 1e7), i % 5 ? between_log(&seed, 1e-6, 0.06) : 0};
		struct inw_friction f = inw_duct_friction(a[0], a[1]);
		double x = 1 / sqrt(f.f);

		if (fabs(a[0] - 2300) < 5 || fabs(a[0] - 4000) < 5)
			continue;
		CHECK_ABS(f.df_dRe, difference(friction_of, a, 0, a[0] * 1e-3), 1e-7 * f.f / a[0] + 1e-6 * fabs(f.df_dRe),
			"central difference");
		if (a[0] > 4000)
			CHECK_ABS(x + 2 * log10(a[1] / 3.7 + 2.51 * x / a[0]), 0, 4e-15 * x, "Colebrook 1939: its own equation");
	}
	for (double e = 0; e < 0.1; e += 0.01) {
		for (int k = 0; k < 2; k++) {
			double at = k ? 4000 : 2300;
			struct inw_friction l = inw_duct_friction(at - 1e-6, e), r = inw_duct_friction(at + 1e-6, e);

			CHECK_REL(l.f, r.f, 1e-8, "continuous");
			CHECK_ABS(l.df_dRe, r.df_dRe, 1e-12, "C1");
		}
	}
}

/* ---- ducts ---- */

static double drop_of(const double *a)
{
	return inw_duct_drop(a[0], a[1], a[2], a[3], a[4], a[5], a[6]).dp_Pa;
}

static void duct_derivatives(void)
{
	uint64_t seed = 2;

	for (int i = 0; i < 1000; i++) {
		double D = between_log(&seed, 0.02, 0.3), Re = between_log(&seed, 10, 2e5);
		double rho = between(&seed, 0.9, 1.3), mu = between(&seed, 1.6e-5, 2.2e-5);
		double q = Re * mu * PI * D / (4 * rho) * (i % 2 ? 1 : -1);
		double a[DIFFERENCE_ARGS]
			= {D, between(&seed, 0.1, 5), between(&seed, 0, 0.05) * D, between(&seed, 1, 4), q, rho, mu};
		struct inw_drop d = inw_duct_drop(a[0], a[1], a[2], a[3], q, rho, mu);
		double size = fabs(d.dp_Pa);

		if (fabs(Re / 2300 - 1) < 4e-3 || fabs(Re / 4000 - 1) < 4e-3)
			continue;
		CHECK(d.ddp_dq > 0);
		CHECK_ABS(inw_duct_drop(a[0], a[1], a[2], a[3], -q, rho, mu).dp_Pa, -d.dp_Pa, 0, "F2 odd");
		CHECK_REL(d.ddp_dq, difference(drop_of, a, 4, fabs(q) * 1e-3), 1e-6, "F3 central difference");
		CHECK_ABS(d.ddp_drho, difference(drop_of, a, 5, rho * 1e-3), 1e-6 * size, "F3 central difference");
		CHECK_ABS(d.ddp_dmu, difference(drop_of, a, 6, mu * 1e-3), 1e-6 * size / mu, "F3 central difference");
	}
}

static void duct_shape(void)
{
	double before = -1, laminar = 128 * MU * 2 / (PI * pow(0.05, 4));
	struct inw_drop zero = inw_duct_drop(0.05, 2, 1e-4, 1, 0, RHO, MU);

	CHECK_ABS(zero.dp_Pa, 0, 0, "no flow, no drop");
	CHECK_REL(zero.ddp_dq, laminar, 1e-12, "Hagen-Poiseuille: 128 mu L/(pi D^4)");
	CHECK_REL(inw_duct_drop(0.05, 2, 1e-4, 1, 1e-4, RHO, MU).dp_Pa, laminar * 1e-4, 1e-12, "Hagen-Poiseuille");
	for (double q = 0; q < 0.02; q += 1e-5) {
		struct inw_drop d = inw_duct_drop(0.05, 2, 1e-4, 1, q, RHO, MU);

		CHECK(d.dp_Pa > before && d.ddp_dq > 0);
		before = d.dp_Pa;
		CHECK_REL(
			inw_duct_drop(0.05, 2, 1e-4, 2.5, q, RHO, MU).dp_Pa, 2.5 * d.dp_Pa, 1e-14, "stretch multiplies friction");
	}
	for (int k = 0; k < 2; k++) {
		double q = (k ? 4000 : 2300) * MU * PI * 0.05 / (4 * RHO);
		struct inw_drop l = inw_duct_drop(0.05, 2, 1e-4, 1, q * (1 - 1e-10), RHO, MU);
		struct inw_drop r = inw_duct_drop(0.05, 2, 1e-4, 1, q * (1 + 1e-10), RHO, MU);

		CHECK_REL(l.ddp_dq, r.ddp_dq, 1e-7, "C1 in q");
		CHECK_ABS(l.ddp_drho, r.ddp_drho, 1e-7 * l.dp_Pa, "C1 in rho");
		CHECK_REL(l.ddp_dmu, r.ddp_dmu, 1e-7, "C1 in mu");
	}
}

/* flow under a drop, by Newton on the law */
static double duct_flow(double D, double L, double roughness, double dp, double rho, double mu)
{
	double q = 0.1;

	for (int i = 0; i < 50; i++) {
		struct inw_drop d = inw_duct_drop(D, L, roughness, 1, q, rho, mu);

		q -= (d.dp_Pa - dp) / d.ddp_dq;
	}
	return q;
}

/* Plastic air duct: 0.35 m3/s through 150 m with a head of 20 m of air, nu 1.655e-5. Book: D 0.267 m, f 0.0180, V
 * 6.24 m/s,
 * Re 100800; twice the length: 0.11 m3/s less. */
static void duct_sizing(void)
{
	static const char cengel[] = "Cengel & Cimbala, Fluid Mechanics, ex. 8-4 and 8-5";
	double rho = 1.145, mu = 1.655e-5 * rho, head = 20 * 9.81 * rho, D = 0.267, Re = 0.35 * 4 / (PI * D * 1.655e-5);

	CHECK_ABS(Re, 100800, 200, cengel);
	CHECK_ABS(inw_duct_friction(Re, 0).f, 0.0180, 6e-5, cengel);
	/* D is printed to 1 in 267, and the flow goes with D^2.6 */
	CHECK_REL(duct_flow(D, 150, 0, head, rho, mu), 0.35, 2.6 * 0.5 / 267, cengel);
	CHECK_ABS(0.35 - duct_flow(D, 300, 0, head, rho, mu), 0.11, 6e-3, cengel);
}

static void hoses(void)
{
	static const char own[] = "Darcy-Weisbach with Colebrook, evaluated independently";
	double q = 60 / 3600.0;

	CHECK_ABS(inw_duct_drop(0.1, 1, 0.15e-3, 1, q, 1.2, 1.81e-5).dp_Pa, 0.83, 6e-3, own);
	CHECK_ABS(inw_duct_drop(0.1, 1, 1e-3, 1, q, 1.2, 1.81e-5).dp_Pa, 1.13, 6e-3, own);
	CHECK_ABS(inw_duct_drop(0.1, 1, 3e-3, 1, q, 1.2, 1.81e-5).dp_Pa, 1.60, 6e-3, own);
	CHECK_ABS(inw_duct_drop(0.05, 1, 3e-3, 1, q / 3, 1.2, 1.81e-5).dp_Pa, 7.7, 0.06, own);
}

/* ---- fittings and screens ---- */

static double loss_of(struct inw_resistance r, double area, double velocity, double rho, double mu)
{
	return inw_resistance_drop(r, velocity * area, rho, mu).dp_Pa / (rho * velocity * velocity / 2);
}

static void fittings(void)
{
	/* 2 in, Re 10000: globe valve, K1 1500 and K 4: 6.15; K1 900 and K 4: 6.09; the size factor is 1 + 1/2 */
	static const char hooper[]
		= "Hooper 1981 two-K method, worked in the documentation of an open numerical library (memory)";
	double D = 0.0508, area = PI * D * D / 4, v = 1e4 * MU / (RHO * D);
	double ft3min = FOOT * FOOT * FOOT / 60, pound_ft3 = 0.45359237 / (FOOT * FOOT * FOOT);
	struct inw_resistance pipe = inw_fitting(PI / 4 * FOOT * FOOT, FOOT, 4 * 0.00465 * 800, 0);

	CHECK_REL(loss_of(inw_fitting(area, D, 4 * 1.5, 1500), area, v, RHO, MU), 6.15, 1e-9, hooper);
	CHECK_REL(loss_of(inw_fitting(area, D, 4 * 1.5, 900), area, v, RHO, MU), 6.09, 1e-9, hooper);
	/* 500 ft3/min of air through 800 ft of 1 ft, Fanning 0.00465: 0.014402 psi */
	CHECK_REL(inw_resistance_drop(pipe, 500 * ft3min, 0.07973 * pound_ft3, MU).dp_Pa, 0.014402 * 6894.757293, 1e-3,
		"de Nevers, Fluid Mechanics for Chemical Engineers, ex. 6.6");
}

static void screens(void)
{
	static const double a[]
		= {0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9};
	static const double K[]
		= {1000, 250, 85, 52, 30, 17, 11, 7.7, 5.5, 3.8, 2.8, 2.0, 1.5, 1.1, 0.78, 0.53, 0.35, 0.08};
	double before = 2000;

	for (int i = 0; i < 18; i++)
		CHECK_REL(loss_of(inw_screen(0.01, a[i]), 0.01, 2, RHO, MU), K[i], 1e-9,
			"Blevins 1984, table of perforated plates and screens");
	for (double x = 0.05; x < 0.9999; x += 0.001) {
		double loss = loss_of(inw_screen(0.01, x), 0.01, 2, RHO, MU);

		CHECK(loss < before && loss > 0);
		before = loss;
	}
	/* thick grill of another source: the same size, not the same thing */
	CHECK_REL(loss_of(inw_screen(0.01, 0.45), 0.01, 2, RHO, MU), 5.296, 0.05,
		"thick grill, [.5(1-a) + (1-a^2)]/a^2 at a 0.45");
}

/* ---- published networks, solved with these laws ---- */

#define NODES 6
#define PIPES 6

struct pipe { int from, to; struct inw_resistance r; double q; };
struct network {
	int nodes, fixed, pipes;
	double p[NODES];
	struct pipe pipe[PIPES];
	double rho;
}; /* the first `fixed` nodes have a given pressure */

/* Gauss-Jordan without pivoting: the matrix is symmetric and positive */
static void solve(double m[NODES][NODES + 1], int first, int n)
{
	for (int k = first; k < n; k++)
		for (int i = first; i < n; i++) {
			double share = i == k ? 0 : m[i][k] / m[k][k];

			for (int c = first; c <= n; c++)
				m[i][c == n ? NODES : c] -= share * m[k][c == n ? NODES : c];
		}
}

/* Mass balance of each free node by Newton, damped by half when it does not help at first. Returns the worst
 * imbalance. */
static double network_solve(struct network *net)
{
	double worst = 1;

	for (int turn = 0; turn < 200 && worst > 1e-13; turn++) {
		double m[NODES][NODES + 1] = {{0}};

		for (int i = 0; i < net->pipes; i++) {
			struct pipe *e = &net->pipe[i];
			struct inw_flow f = inw_resistance_flow(e->r, net->p[e->from] - net->p[e->to], net->rho, MU);

			e->q = f.q_m3s;
			m[e->from][NODES] -= f.q_m3s;
			m[e->to][NODES] += f.q_m3s;
			m[e->from][e->from] += f.dq_ddp;
			m[e->to][e->to] += f.dq_ddp;
			m[e->from][e->to] -= f.dq_ddp;
			m[e->to][e->from] -= f.dq_ddp;
		}
		worst = 0;
		for (int i = net->fixed; i < net->nodes; i++)
			worst = fmax(worst, fabs(m[i][NODES]));
		solve(m, net->fixed, net->nodes);
		for (int i = net->fixed; i < net->nodes; i++)
			net->p[i] += (turn < 20 ? 0.5 : 1) * m[i][NODES] / m[i][i];
	}
	return worst;
}

static struct inw_resistance darcy(double D, double L, double f)
{
	return inw_fitting(PI / 4 * D * D, D, f * L / D, 0);
}

/* K of h = K Q^2, h in metres of the fluid */
static struct inw_resistance of_head(double K, double g)
{
	return (struct inw_resistance){.quad = K * g};
}

/* Parallel ducts of 0.1 and 0.125 m from a head of 100 m of air, then 0.15 m, then two branches to 40 m (through a
 * valve of
 * K (4000/n%)^2) and to 60 m. The book takes h = f L Q^2/(3 d^5) with Fanning f 0.006. */
static void case_parallel_branches(void)
{
	static const char douglas[] = "Douglas, Fluid Mechanics, ex. 14.7";
	const double g = 9.81, rho = 1.2, head = rho * g, valve = 4000 / 38.58;
	struct network net = {
		.nodes = 5, .fixed = 3, .pipes = 5, .rho = rho, .p = {100 * head, 40 * head, 60 * head, 90 * head, 75 * head}};

	net.pipe[0] = (struct pipe){0, 3, of_head(0.006 * 30 / (3 * pow(0.1, 5)), g), 0};
	net.pipe[1] = (struct pipe){0, 3, of_head(0.006 * 30 / (3 * pow(0.125, 5)), g), 0};
	net.pipe[2] = (struct pipe){3, 4, of_head(0.006 * 60 / (3 * pow(0.15, 5)), g), 0};
	net.pipe[3] = (struct pipe){
		4, 1, inw_resistance_add(of_head(0.006 * 15 / (3 * pow(0.1, 5)), g), of_head(valve * valve, g)), 0};
	net.pipe[4] = (struct pipe){4, 2, of_head(0.006 * 30 / (3 * pow(0.1, 5)), g), 0};
	CHECK(network_solve(&net) < 1e-12);
	CHECK_ABS(net.pipe[2].q, 0.1016, 6e-5, douglas);
	CHECK_ABS(net.p[4] / head, 75.48, 6e-3, douglas);
	CHECK_REL(
		net.pipe[3].q, net.pipe[4].q, 1e-4, "Douglas, Fluid Mechanics, ex. 14.7: the valve makes both branches equal");
	CHECK_ABS(net.pipe[0].q / net.pipe[2].q, 0.364, 6e-4, "q ~ 1/sqrt(K), K 6000 and 1966 of ex. 14.7");
}

/* One 0.12 m pipe of 120 m, then 0.075 m, 60 m to a level 16 m lower and 0.06 m, 40 m to one 24 m lower; Fanning f
 * 0.01 */
static void case_three_branches(void)
{
	static const char douglas[] = "Douglas, Fluid Mechanics, ex. 14.4";
	const double head = 1000 * 9.81;
	struct network net = {.nodes = 4, .fixed = 3, .pipes = 3, .rho = 1000, .p = {24 * head, 8 * head, 0, 16 * head}};

	net.pipe[0] = (struct pipe){0, 3, darcy(0.12, 120, 0.04), 0};
	net.pipe[1] = (struct pipe){3, 1, darcy(0.075, 60, 0.04), 0};
	net.pipe[2] = (struct pipe){3, 2, darcy(0.06, 40, 0.04), 0};
	CHECK(network_solve(&net) < 1e-12);
	CHECK_ABS(net.pipe[0].q, 0.0206, 6e-5, douglas);
	CHECK_ABS(net.pipe[1].q, 0.0105, 6e-5, douglas);
	CHECK_ABS(net.pipe[2].q, 0.0101, 6e-5, douglas);
}

static double part(double width, double height, double loss, double q)
{
	double area = width * height;

	return inw_resistance_drop(inw_fitting(area, width, loss, 0), q, 1.2, MU).dp_Pa;
}

/* Drops along a duct, rho 1.2, Fanning f 0.008: round 0.3 m (10 m, fittings 4, a transition worth 20 diameters) and
 * 0.4 x 0.2 m (30 m, fittings 10) at 0.8 m3/s; then 0.15 m (10 m, 4) at 0.2 m3/s and 0.3 m (26 m) at 0.8. */
static void case_fan_duct(void)
{
	static const char first[] = "Douglas, Fluid Mechanics, ex. 14.5", second[] = "Douglas, Fluid Mechanics, ex. 14.6";
	const double f = 4 * 0.008, side = sqrt(PI) / 2; /* a square of the circle's area */
	double hydraulic = 2 * 0.4 * 0.2 / 0.6;
	double round = part(0.3 * side, 0.3 * side, f * 10 / 0.3 + f * 20 + 4, 0.8);
	double flat = part(0.4, 0.2, f * 30 / hydraulic + 10, 0.8);
	double branch = part(0.15 * side, 0.15 * side, f * 10 / 0.15 + 4, 0.2),
		   trunk = part(0.3 * side, 0.3 * side, f * 26 / 0.3, 0.8);

	CHECK_ABS(round + flat, 1254.6, 0.06, first);
	CHECK_ABS(branch, 471.37, 6e-3, second);
	CHECK_ABS(trunk, 213.14, 6e-3, second);
	CHECK_ABS(branch + trunk, 684.51, 6e-3, second);
}

/* Three reservoirs at 100, 20, 0 ft, 1 ft pipes of 1000, 500, 400 ft, Darcy f 0.02. The book rounds 80 ft 2 g/20 ft =
 * 257.6 to 258 ft2/s2, as good as the middle level at 100 - 258/3.22 ft; the small flow (2.23 with 20 ft) feels that.
 * */
static void case_three_reservoirs(void)
{
	static const char munson[] = "Munson, Young & Okiishi, Fundamentals of Fluid Mechanics, ex. 8.14";
	const double head = 1000 * 32.2 * FOOT * FOOT, ft3 = FOOT * FOOT * FOOT;
	struct network net
		= {.nodes = 4, .fixed = 3, .pipes = 3, .rho = 1000, .p = {100 * head, (100 - 258 / 3.22) * head, 0, 30 * head}};

	net.pipe[0] = (struct pipe){0, 3, darcy(FOOT, 1000 * FOOT, 0.02), 0};
	net.pipe[1] = (struct pipe){3, 1, darcy(FOOT, 500 * FOOT, 0.02), 0};
	net.pipe[2] = (struct pipe){3, 2, darcy(FOOT, 400 * FOOT, 0.02), 0};
	CHECK(network_solve(&net) < 1e-12);
	CHECK_ABS(net.pipe[0].q / ft3, 12.5, 0.06, munson);
	CHECK_ABS(net.pipe[1].q / ft3, 2.26, 6e-3, munson);
	CHECK_ABS(net.pipe[2].q / ft3, 10.3, 0.06, munson);
}

/* Series: 0.3 m 300 m f 0.019, 0.2 m 150 m 0.021, 0.25 m 250 m 0.020 under 10 m. Then A (2000 ft, 6 in, 0.020) beside
 * B (1600 ft, 4 in, 0.032) from El 200 to P at El 120 and C (4000 ft, 8 in, 0.024) on to El 50. */
static void case_series_and_parallel(void)
{
	static const char series[] = "Daugherty & Franzini, Fluid Mechanics, ex. 8.8",
					  parallel[] = "Daugherty & Franzini, Fluid Mechanics, ex. 8.9";
	struct inw_resistance line = inw_resistance_add(
		darcy(0.3, 300, 0.019), inw_resistance_add(darcy(0.2, 150, 0.021), darcy(0.25, 250, 0.020)));
	/* 62.4 lbf/ft3 of water makes a foot of head; pressures in feet of it */
	const double head = 1000 * 32.2 * FOOT * FOOT, ft3 = FOOT * FOOT * FOOT;
	struct network net = {.nodes = 3, .fixed = 2, .pipes = 3, .rho = 1000, .p = {200 * head, 50 * head, 130 * head}};

	CHECK_ABS(inw_resistance_flow(line, 10 * 1000 * 9.81, 1000, 1e-3).q_m3s, 0.084, 6e-4, series);
	net.pipe[0] = (struct pipe){0, 2, darcy(0.5 * FOOT, 2000 * FOOT, 0.020), 0};
	net.pipe[1] = (struct pipe){0, 2, darcy(FOOT / 3, 1600 * FOOT, 0.032), 0};
	net.pipe[2] = (struct pipe){2, 1, darcy(FOOT * 2 / 3, 4000 * FOOT, 0.024), 0};
	CHECK(network_solve(&net) < 1e-12);
	CHECK_ABS(net.pipe[0].q / ft3, 1.528, 6e-4, parallel);
	CHECK_ABS(net.pipe[1].q / ft3, 0.490, 6e-4, parallel);
	CHECK_ABS(net.pipe[2].q / ft3, 2.018, 6e-4, parallel);
	CHECK_ABS((net.p[2] / head - 120) * 62.4 / 144, 2.06, 6e-3, parallel);
}

/* ---- Hardy Cross ---- */

/* Loops as in the source: pipe numbers from 1, with the sign of the pipe's own direction in that loop */
static const int loop_pipe[3][5] = {{1, 2, 3, 4, 5}, {4, 6, 7, 8, 0}, {3, 9, 10, 6, 0}};
static const int loop_sign[3][5] = {{1, 1, 1, 1, 1}, {-1, 1, 1, 1, 0}, {-1, 1, 1, -1, 0}};
static const double cross_D[] = {0.3, 0.2, 0.2, 0.2, 0.2, 0.15, 0.25, 0.15, 0.15, 0.25};
static const double cross_L[] = {250, 100, 125, 125, 100, 100, 125, 100, 100, 125};
static const double cross_f[]
	= {0.01879, 0.02075, 0.02075, 0.02075, 0.02075, 0.02233, 0.01964, 0.02233, 0.02233, 0.01964};
static const double cross_start[] = {0.040, 0.040, 0.02, -0.02, -0.04, 0, 0, -0.02, 0.02, 0};

/* head loss round a loop, and its slope against a flow added round it */
static struct inw_drop round_loop(const double *q, int loop)
{
	struct inw_drop sum = {0};

	for (int i = 0; i < 5 && loop_pipe[loop][i]; i++) {
		int k = loop_pipe[loop][i] - 1;
		struct inw_drop d = inw_resistance_drop(darcy(cross_D[k], cross_L[k], cross_f[k]), q[k], 1000, 1e-3);

		sum.dp_Pa += loop_sign[loop][i] * d.dp_Pa;
		sum.ddp_dq += d.ddp_dq;
	}
	return sum;
}

/* One turn: the corrections of all loops from the flows before the turn, as the source does */
static void cross_turn(double *q)
{
	double add[3] = {0};

	for (int loop = 0; loop < 3; loop++) {
		struct inw_drop d = round_loop(q, loop);

		add[loop] = -d.dp_Pa / d.ddp_dq;
	}
	for (int loop = 0; loop < 3; loop++)
		for (int i = 0; i < 5 && loop_pipe[loop][i]; i++)
			q[loop_pipe[loop][i] - 1] += loop_sign[loop][i] * add[loop];
}

static void case_hardy_cross(void)
{
	static const double third[] = {0.0383, 0.0383, 0.0232, -0.0258, -0.0417, 0.0090, 0.0041, -0.0159, 0.0151, -0.0049};
	static const double end[] = {38.23, 38.23, 23.15, -25.65, -41.77, 8.80, 3.875, -16.13, 15.08, -4.925};
	double q[10];

	memcpy(q, cross_start, sizeof q);
	for (int turn = 0; turn < 3; turn++)
		cross_turn(q);
	for (int i = 0; i < 10; i++)
		CHECK_ABS(q[i], third[i], 6e-5, "Hardy Cross example, vignette of an R package on hydraulics, after 3 turns");
	for (int turn = 0; turn < 100; turn++)
		cross_turn(q);
	for (int i = 0; i < 10; i++)
		CHECK_ABS(q[i] * 1000, end[i], 6e-3, "the same network, converged independently");
}

int main(void)
{
	friction_published();
	friction_haaland();
	friction_derivatives();
	duct_derivatives();
	duct_shape();
	duct_sizing();
	hoses();
	fittings();
	screens();
	case_parallel_branches();
	case_three_branches();
	case_fan_duct();
	case_three_reservoirs();
	case_series_and_parallel();
	case_hardy_cross();
	return check_done();
}
