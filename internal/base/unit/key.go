package unit

import "strings"

// endings are the endings of keys and what they stand for, the longest first.
var endings = []struct{ ending, unit string }{
	{"_viscosity_pa_s", "Pa s"}, {"_pa_s", "Pa s"}, {"_g_ml", "g/ml"}, {"_g_min", "g/min"}, {"_hpa", "hPa"}, {"_n_mm", "N/mm"}, {"_mpa", "MPa"}, {"_pct", "%"},
	{"_deg", "deg"}, {"_min", "min"}, {"_mm", "mm"}, {"_ml", "ml"}, {"_pa", "Pa"}, {"_g", "g"}, {"_s", "s"}, {"_h", "h"}, {"_c", "C"}, {"_m", "m"},
}

// OfKey reads the unit off the ending of a key of the job file; empty: none.
func OfKey(key string) string {
	for _, e := range endings {
		if strings.HasSuffix(key, e.ending) {
			return e.unit
		}
	}
	return ""
}

// WordsOfKey is a key without its unit, in words: layer_height_mm is layer height.
func WordsOfKey(key string) string {
	for _, e := range endings {
		if name, ok := strings.CutSuffix(key, e.ending); ok && name != "" {
			key = name
			break
		}
	}
	return strings.ReplaceAll(key, "_", " ")
}
