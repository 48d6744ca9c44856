// The scale of the draft map: one hue, evenly lighter. The view's shader has the same.
export const draftColours = ["#173a5e", "#476488", "#7690b0", "#a8bdd6", "#dde8f4"];
export const mostDraftDeg = 20;
