package picture

import "math"

// stuff is how a material answers light. Colours are linear RGB.
type stuff struct {
	albedo  rgb     // diffuse reflectance
	f0      float32 // reflectance at normal incidence, ((n-1)/(n+1))²
	sheen   float32 // share of the reflection that is satin (the rest is scattered)
	spread  float32 // half-width of the window's image in the satin, as a tangent
	through float32 // how far light creeps around edges and into hollows, 0..1
}

// stuffs holds the materials. The chocolates' colours are CIE L*a*b* in the middle
// of what colour meters give for well tempered pieces (dark about 25-30, 6-9, 6-11;
// milk 36-44, 10-13, 13-19; white 78-85, 0-4, 20-28: from memory, no source at
// hand). Cocoa butter's refractive index is close to 1.46, which gives f0 = 0.035.
var stuffs = map[string]stuff{
	Dark:   {lab(25.5, 12, 13), 0.035, 1, 0.42, 0.06},
	Milk:   {lab(42, 16, 23), 0.035, 0.9, 0.46, 0.18},
	White:  {lab(84, 3, 22), 0.035, 0.8, 0.52, 0.36},
	Resin:  {lab(62, 0, 2), 0.03, 0.35, 0.95, 0.05},
	Rubber: {lab(74, -3, -8), 0.03, 0.5, 0.8, 0.4},
}

func stuffOf(kind string) stuff {
	if s, ok := stuffs[kind]; ok {
		return s
	}
	return stuffs[Dark]
}

// paper is the ground's colour in linear light.
var paper = lab(95.2, 0.8, 5.2)

type rgb struct{ r, g, b float32 }

func (c rgb) mul(d rgb) rgb       { return rgb{c.r * d.r, c.g * d.g, c.b * d.b} }
func (c rgb) times(f float32) rgb { return rgb{c.r * f, c.g * f, c.b * f} }
func (c rgb) add(d rgb) rgb       { return rgb{c.r + d.r, c.g + d.g, c.b + d.b} }
func (c rgb) lerp(d rgb, t float32) rgb {
	return rgb{c.r + (d.r-c.r)*t, c.g + (d.g-c.g)*t, c.b + (d.b-c.b)*t}
}

// lab turns CIE L*a*b* (D65) into linear sRGB: CIE 15 for the formula, IEC 61966-2-1
// for the primaries.
func lab(l, a, b float64) rgb {
	fy := (l + 16) / 116
	fx, fz := fy+a/500, fy-b/200
	inv := func(t float64) float64 {
		if t > 6.0/29 {
			return t * t * t
		}
		return 3 * 36.0 / 841 * (t - 4.0/29)
	}
	x, y, z := 0.95047*inv(fx), inv(fy), 1.08883*inv(fz)
	cut := func(v float64) float32 { return float32(math.Max(v, 0)) }
	return rgb{
		cut(3.2404542*x - 1.5371385*y - 0.4985314*z),
		cut(-0.9692660*x + 1.8760108*y + 0.0415560*z),
		cut(0.0556434*x - 0.2040259*y + 1.0572252*z),
	}
}

// toSRGB maps linear light 0..1, in 4096 steps, to the sRGB byte (IEC 61966-2-1).
var toSRGB = func() (t [4097]uint8) {
	for i := range t {
		v := float64(i) / 4096
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		t[i] = uint8(v*255 + 0.5)
	}
	return
}()

// encode gives the sRGB byte of linear light; bright values roll off softly above
// 0.82, so that a glint keeps its colour.
func encode(v float32) uint8 {
	const knee = 0.82
	if v > knee {
		v = knee + (1-knee)*(1-1/(1+(v-knee)/(1-knee)))
	}
	return encodeFlat(v)
}

// encodeFlat is encode without the roll-off.
func encodeFlat(v float32) uint8 {
	switch {
	case !(v > 0):
		return 0
	case v >= 1:
		return 255
	}
	return toSRGB[int(v*4096+0.5)]
}
