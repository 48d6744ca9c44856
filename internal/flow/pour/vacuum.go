package pour

import (
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// standardHPa is the pressure of the ICAO standard atmosphere (ISO 2533:1975) at an
// altitude in m, valid up to 11 km: 1013.25 (1 - 2.25577e-5 h)^5.25588 hPa. Weather
// moves it by about 25 hPa (from memory, no source at hand).
func standardHPa(altitudeM float64) float64 {
	return 1013.25 * math.Pow(1-2.25577e-5*altitudeM, 5.25588)
}

// residualHPa is what is left in the chamber when its gauge shows gaugeHPa below the
// air around. A gauge that shows as much as the air weighs, or more, is refused.
func residualHPa(gaugeHPa, altitudeM float64) (float64, error) {
	p0 := standardHPa(altitudeM)
	if !(gaugeHPa >= 0 && gaugeHPa < p0) {
		return 0, &finding.Error{Key: "bench.vacuum_hpa", Found: fmt.Sprintf("%g hPa below the air around, which is %.0f hPa at %g m", gaugeHPa, p0, altitudeM),
			Allowed: fmt.Sprintf("less than %.0f hPa: no vacuum is deeper than empty", p0), Do: "read the gauge again and mind its unit: 1 inHg = 33.86 hPa, 1 kPa = 10 hPa, 0.1 bar = 100 hPa; a gauge set at sea level reads too deep in the mountains"}
	}
	return p0 - gaugeHPa, nil
}

// growth is how many times larger a bubble gets in the chamber: ideal gas at one
// temperature (R. Boyle 1662), p0/p.
func growth(gaugeHPa, altitudeM float64) (float64, error) {
	p, err := residualHPa(gaugeHPa, altitudeM)
	return standardHPa(altitudeM) / p, err
}

// rise is how many times its volume a mix takes under vacuum, when a share of it is
// air: 1 - f + f p0/p, before bubbles break.
func rise(airShare unit.Range, grown float64) unit.Range {
	return airShare.Map(func(f float64) float64 { return 1 - f + f*grown })
}
