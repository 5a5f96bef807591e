package domain

var speciesWords = map[Species]string{
	Whitetail: "whitetail", MuleDeer: "mule deer", OtherDeer: "deer", Elk: "elk", Moose: "moose", Caribou: "caribou",
	Pronghorn: "pronghorn", Bear: "bear", WildHog: "wild hog", Beef: "beef", Bison: "bison", Veal: "veal", Lamb: "lamb",
	Goat: "goat", Hog: "hog",
}

// Words names the species as the shop says it.
func (s Species) Words() Words {
	if w, ok := speciesWords[s]; ok {
		return Say(w)
	}
	return Say("%s", string(s))
}

var classWords = map[Class]string{
	Mature: "grown", Young: "young", Thin: "thin", Bull: "bull", Cow: "cow", FatCover: "with fat cover", Lean: "lean",
}

// Words names a class beside its species.
func (c Class) Words() Words { return Say(classWords[c]) }
