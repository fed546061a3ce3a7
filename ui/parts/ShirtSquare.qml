pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The colour of a team's shirts, if known: a 20 px square beside the letter. Never the only cue.
Rectangle {
    id: shirt

    required property string colour

    width: Theme.shirt
    height: Theme.shirt
    visible: shirt.colour !== ""
    color: shirt.colour !== "" ? shirt.colour : Theme.clear
    border {
        width: Theme.outline
        color: Theme.ink
    }
    Accessible.ignored: true
}
