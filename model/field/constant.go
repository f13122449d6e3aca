package field

// CODATA 2022 recommended values.
const (
	Mu0  = 1.25663706127e-6 // H/m, vacuum magnetic permeability
	Eps0 = 8.8541878188e-12 // F/m, vacuum electric permittivity
)
