/* The fit of model/testdata/uniform-line.csv with MINPACK's lmder: line_minpack READINGS [FITS]

   A uniform line with the capacitance T at its free end rings at

     w = t/sqrt(L Cw),  cot t = t T/Cw,

   with T the coil's own top capacitance and what was added. Unknowns are ln L,
   ln C and s, where Cw = (1 - s) C and the top's own is s C. Beside the
   readings there is a weak belief on s, 0.3 with standard uncertainty 0.3.

   Prints inductance [H], winding and top capacitance [F]. */

#include <cminpack.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { most = 1000, unknowns = 3 };

struct readings {
	int n;
	double f[most], u[most], added[most];
};

static void read(const char *name, struct readings *r)
{
	char row[256];
	FILE *file = fopen(name, "r");
	if (!file) {
		perror(name);
		exit(1);
	}
	while (r->n < most && fgets(row, sizeof row, file))
		if (sscanf(row, "%lf,%lf,%lf", &r->f[r->n], &r->u[r->n], &r->added[r->n]) == 3) {
			r->f[r->n] *= 1e3;
			r->u[r->n] *= 1e3;
			r->added[r->n++] *= 1e-12;
		}
	fclose(file);
}

/* root returns the root of cot t = rho t by Newton's rule, and dt/drho. */
static double root(double rho, double *slope)
{
	double t = 1 / sqrt(rho + 4 / (M_PI * M_PI)), sine, cosine, step;
	int n = 0;
	do {
		sine = sin(t);
		cosine = cos(t);
		step = (cosine - rho * t * sine) / (sine * (1 + rho) + rho * t * cosine);
		t += step;
	} while (fabs(step) > 1e-8 * t && ++n < 20); /* the error left is its square */
	*slope = -t * sine / (sine * (1 + rho) + rho * t * cosine);
	return t;
}

static int evaluate(void *data, int m, int n, const double *x, double *r, double *jac, int ld, int flag)
{
	const struct readings *d = data;
	double l = exp(x[0]), c = exp(x[1]), s = x[2], winding = (1 - s) * c, scale = 1 / (2 * M_PI * sqrt(l * winding));
	for (int i = 0; i < d->n; i++) {
		double top = s * c + d->added[i], slope, theta = root(top / winding, &slope), f = theta * scale;
		if (flag == 1) {
			r[i] = (d->f[i] - f) / d->u[i];
			continue;
		}
		double per_top = slope / theta / winding, per_winding = -per_top * top / winding - 0.5 / winding;
		double w = -f / d->u[i];
		jac[i] = w * -0.5;
		jac[i + ld] = w * c * (s * per_top + (1 - s) * per_winding);
		jac[i + 2 * ld] = w * c * (per_top - per_winding);
	}
	if (flag == 1)
		r[m - 1] = (s - 0.3) / 0.3;
	else {
		jac[m - 1] = jac[m - 1 + ld] = 0;
		jac[m - 1 + 2 * ld] = 1 / 0.3;
	}
	(void)n;
	return 0;
}

/* start takes slope and height of the straight line 1/w^2 against added
   capacitance for L and L C seen, with s = 0.3. */
static void start(const struct readings *d, double *x)
{
	double n = 0, sc = 0, sy = 0, scc = 0, scy = 0, unused;
	for (int i = 0; i < d->n; i++) {
		double w = 2 * M_PI * d->f[i], c = d->added[i], y = 1 / (w * w);
		w *= w * w * w;
		n += w;
		sc += w * c;
		sy += w * y;
		scc += w * c * c;
		scy += w * c * y;
	}
	double slope = (n * scy - sc * sy) / (n * scc - sc * sc), own = (sy - slope * sc) / n / slope;
	double theta = root(0.3 / 0.7, &unused);
	x[0] = log(slope);
	x[1] = log(own * theta * theta / 0.7);
	x[2] = 0.3;
}

int main(int argc, char **argv)
{
	static struct readings d;
	double x[unknowns], r[most + 1], jac[(most + 1) * unknowns], diag[unknowns], qtf[unknowns], a[unknowns], b[unknowns], c[unknowns], e[most + 1];
	int pivot[unknowns], info = 0, evaluations = 0, jacobians = 0;
	if (argc < 2) {
		fprintf(stderr, "usage: line_minpack READINGS [FITS]\n");
		return 2;
	}
	read(argv[1], &d);
	for (int fits = argc > 2 ? atoi(argv[2]) : 1; fits > 0; fits--) {
		start(&d, x);
		info = lmder(evaluate, &d, d.n + 1, unknowns, x, r, jac, d.n + 1, 1e-8, 1e-8, 0, 400, diag, 1, 100, 0,
			&evaluations, &jacobians, pivot, qtf, a, b, c, e);
	}
	printf("%.9e %.9e %.9e %d evaluations, %d of the Jacobian, info %d\n", exp(x[0]), (1 - x[2]) * exp(x[1]), x[2] * exp(x[1]), evaluations, jacobians, info);
	return info < 1 || info > 4;
}
