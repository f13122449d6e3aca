package fit_test

import "math"

// curve is the model function of a reference problem: it returns y and writes
// ∂y/∂b to grad.
type curve func(b []float64, x []float64, grad []float64) float64

// strdCurves are the models of the 27 nonlinear problems of the NIST StRD,
// with derivatives by hand.
var strdCurves = map[string]curve{
	"Bennett5": func(b, x, g []float64) float64 {
		e := math.Pow(b[1]+x[0], -1/b[2])
		g[0] = e
		g[1] = -b[0] * e / (b[2] * (b[1] + x[0]))
		g[2] = b[0] * e * math.Log(b[1]+x[0]) / (b[2] * b[2])
		return b[0] * e
	},
	"BoxBOD":   saturating,
	"Misra1a":  saturating,
	"Chwirut1": chwirut,
	"Chwirut2": chwirut,
	"DanWood": func(b, x, g []float64) float64 {
		e := math.Pow(x[0], b[1])
		g[0], g[1] = e, b[0]*e*math.Log(x[0])
		return b[0] * e
	},
	"Eckerle4": func(b, x, g []float64) float64 {
		u := (x[0] - b[2]) / b[1]
		e := math.Exp(-u * u / 2)
		y := b[0] / b[1] * e
		g[0] = e / b[1]
		g[1] = y * (u*u - 1) / b[1]
		g[2] = y * u / b[1]
		return y
	},
	"ENSO": func(b, x, g []float64) float64 {
		y := b[0]
		g[0] = 1
		s, c := math.Sincos(2 * math.Pi * x[0] / 12)
		y += b[1]*c + b[2]*s
		g[1], g[2] = c, s
		for _, k := range []int{3, 6} {
			t := 2 * math.Pi * x[0] / b[k]
			s, c := math.Sincos(t)
			y += b[k+1]*c + b[k+2]*s
			g[k] = (b[k+1]*s - b[k+2]*c) * t / b[k]
			g[k+1], g[k+2] = c, s
		}
		return y
	},
	"Gauss1":   gauss,
	"Gauss2":   gauss,
	"Gauss3":   gauss,
	"Hahn1":    func(b, x, g []float64) float64 { return rational(4, b, x, g) },
	"Thurber":  func(b, x, g []float64) float64 { return rational(4, b, x, g) },
	"Kirby2":   func(b, x, g []float64) float64 { return rational(3, b, x, g) },
	"Lanczos1": lanczos,
	"Lanczos2": lanczos,
	"Lanczos3": lanczos,
	"MGH09": func(b, x, g []float64) float64 {
		n, d := x[0]*x[0]+x[0]*b[1], x[0]*x[0]+x[0]*b[2]+b[3]
		g[0] = n / d
		g[1] = b[0] * x[0] / d
		g[2] = -b[0] * n * x[0] / (d * d)
		g[3] = -b[0] * n / (d * d)
		return b[0] * n / d
	},
	"MGH10": func(b, x, g []float64) float64 {
		e := math.Exp(b[1] / (x[0] + b[2]))
		g[0] = e
		g[1] = b[0] * e / (x[0] + b[2])
		g[2] = -b[0] * e * b[1] / ((x[0] + b[2]) * (x[0] + b[2]))
		return b[0] * e
	},
	"MGH17": func(b, x, g []float64) float64 {
		e, f := math.Exp(-x[0]*b[3]), math.Exp(-x[0]*b[4])
		g[0], g[1], g[2] = 1, e, f
		g[3], g[4] = -x[0]*b[1]*e, -x[0]*b[2]*f
		return b[0] + b[1]*e + b[2]*f
	},
	"Misra1b": func(b, x, g []float64) float64 {
		d := 1 + b[1]*x[0]/2
		g[0] = 1 - 1/(d*d)
		g[1] = b[0] * x[0] / (d * d * d)
		return b[0] * g[0]
	},
	"Misra1c": func(b, x, g []float64) float64 {
		d := 1 + 2*b[1]*x[0]
		g[0] = 1 - 1/math.Sqrt(d)
		g[1] = b[0] * x[0] / (d * math.Sqrt(d))
		return b[0] * g[0]
	},
	"Misra1d": func(b, x, g []float64) float64 {
		d := 1 + b[1]*x[0]
		g[0] = b[1] * x[0] / d
		g[1] = b[0] * x[0] / (d * d)
		return b[0] * g[0]
	},
	"Nelson": func(b, x, g []float64) float64 {
		e := math.Exp(-b[2] * x[1])
		g[0] = 1
		g[1] = -x[0] * e
		g[2] = b[1] * x[0] * x[1] * e
		return b[0] - b[1]*x[0]*e
	},
	"Rat42": func(b, x, g []float64) float64 {
		e := math.Exp(b[1] - b[2]*x[0])
		d := 1 + e
		g[0] = 1 / d
		g[1] = -b[0] * e / d / d
		g[2] = -g[1] * x[0]
		return b[0] / d
	},
	"Rat43": func(b, x, g []float64) float64 {
		e := math.Exp(b[1] - b[2]*x[0])
		d := 1 + e
		y := b[0] * math.Pow(d, -1/b[3])
		g[0] = y / b[0]
		g[1] = -y / b[3] * e / d
		g[2] = -g[1] * x[0]
		g[3] = y * math.Log(d) / (b[3] * b[3])
		return y
	},
	"Roszman1": func(b, x, g []float64) float64 {
		u := x[0] - b[3]
		g[0] = 1
		g[1] = -x[0]
		g[2] = -u / (u*u + b[2]*b[2]) / math.Pi
		g[3] = -b[2] / (u*u + b[2]*b[2]) / math.Pi
		return b[0] - b[1]*x[0] - math.Atan(b[2]/u)/math.Pi
	},
}

func saturating(b, x, g []float64) float64 {
	e := math.Exp(-b[1] * x[0])
	g[0] = -math.Expm1(-b[1] * x[0])
	g[1] = b[0] * x[0] * e
	return b[0] * g[0]
}

func chwirut(b, x, g []float64) float64 {
	y := math.Exp(-b[0]*x[0]) / (b[1] + b[2]*x[0])
	g[0] = -x[0] * y
	g[1] = -y / (b[1] + b[2]*x[0])
	g[2] = g[1] * x[0]
	return y
}

func gauss(b, x, g []float64) float64 {
	e := math.Exp(-b[1] * x[0])
	g[0], g[1] = e, -x[0]*b[0]*e
	y := b[0] * e
	for _, k := range []int{2, 5} {
		u := (x[0] - b[k+1]) / b[k+2]
		e := math.Exp(-u * u)
		g[k] = e
		g[k+1] = b[k] * e * 2 * u / b[k+2]
		g[k+2] = b[k] * e * 2 * u * u / b[k+2]
		y += b[k] * e
	}
	return y
}

// rational is a polynomial of n coefficients over one whose constant term is 1.
func rational(n int, b, x, g []float64) float64 {
	num, den := 0.0, 1.0
	power := 1.0
	for i := range n {
		num += b[i] * power
		if i > 0 {
			den += b[n+i-1] * power
		}
		power *= x[0]
	}
	power = 1
	for i := range n {
		g[i] = power / den
		if i > 0 {
			g[n+i-1] = -num * power / (den * den)
		}
		power *= x[0]
	}
	return num / den
}

func lanczos(b, x, g []float64) float64 {
	y := 0.0
	for k := 0; k < 6; k += 2 {
		e := math.Exp(-b[k+1] * x[0])
		g[k], g[k+1] = e, -x[0]*b[k]*e
		y += b[k] * e
	}
	return y
}
