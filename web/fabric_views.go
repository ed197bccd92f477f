package web

// FabricView is the page of the fabric of a pattern in the studio.
type FabricView struct {
	Page
	Tabs    Tabs
	Version string
	Problem string // why what was sent was not saved
	Fabric  Fabric
}

// Fabric is what may be chosen of a picture, and the two pictures of it.
type Fabric struct {
	Action string   // address of the form
	Anchor string   // where on its page the pictures stand; "" at the top
	Parts  []Choice // empty: nothing can be drawn
	Sizes  []Choice // empty: there is one, or it does not matter
	Yarns  []YarnColour
	RS, WS Picture
	Why    string // why it cannot be drawn; "" where it can
}

// FormAction is the address with its anchor.
func (f Fabric) FormAction() string {
	if f.Anchor == "" {
		return f.Action
	}
	return f.Action + "#" + f.Anchor
}

// Choice is one of a list to choose from.
type Choice struct {
	Value, Label string
	Here         bool
}

// YarnColour is the colour of one yarn. Mixed yarns have several; Value is the first.
type YarnColour struct {
	Name, Label, Value string
	Mixed              bool
}

// Picture is an image with its words.
type Picture struct{ URL, Alt string }
