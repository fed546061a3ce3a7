pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A player's number to be chosen.
Pad {
    id: pad

    required property int number
    property bool chosen: false
    property string said: ""

    width: 72
    height: 72
    sizes: Theme.net
    centred: true
    kind: pad.chosen ? Pad.Filled : Pad.Raised
    labelSize: Theme.net.strong
    text: String(pad.number)
    Accessible.name: pad.number + ", " + pad.said
}
