package plot

import "weftplot/paths/weave"

// RegistrationReport says how well the marks fit. Lengths are mm.
type RegistrationReport struct {
	Model string  `json:"model"`
	RMS   float64 `json:"rms_mm"`
	Max   float64 `json:"max_mm"`
	Skew  float64 `json:"skew_percent"`
	Bow   float64 `json:"bow_percent"`
}

func (j *Job) fitOptions() weave.FitOptions { return weave.FitOptions{} }

func (j *Job) registrationReport() *RegistrationReport { return nil }

func (j *Job) registrationWords() []string { return nil }
