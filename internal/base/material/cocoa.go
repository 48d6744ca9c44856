package material

// CocoaFormC is the melting points of cocoa butter's crystal forms I to VI in °C (R. L.
// Wille, E. S. Lutton, JAOCS 43 (1966) 491, as quoted). Tempered chocolate is form V.
var CocoaFormC = [6]float64{17.3, 23.3, 25.5, 27.3, 33.8, 36.3}

// Heat of set chocolate between 15 and 40 °C and of liquid chocolate, and of melting cocoa
// butter (S. T. Beckett (ed.), Industrial Chocolate Manufacture and Use, 4th ed. 2009,
// p. 667, the butter after Chevalley et al. 1970).
const (
	ChocolateJGK       = 1.59
	LiquidChocolateJGK = 1.67
	CocoaButterJG      = 157.0
)
