pragma ComponentBehavior: Bound

import QtQuick
import QtQuick.Shapes
import Crewlink.Ui

// A team's texture: A solid, B hatched at 45 degrees (5 px stripes, 14 px pitch). Never the only cue: the letter
// stands beside it. `outlined` closes a small square (match history).
Item {
    id: band

    required property string letter
    property bool outlined: false
    property color tone: Theme.ink

    readonly property bool solid: band.letter === "A"

    implicitWidth: Theme.bandWidth
    clip: true
    Accessible.ignored: true

    function stripes(wide: real, high: real): string {
        let path = "";
        const step = Theme.stripePitch * Math.SQRT2;
        for (let y = -wide; y < high + 2 * wide; y += step)
            path += "M" + (-10) + " " + (y + 10) + " L" + (wide + 10) + " " + (y - wide - 10) + " ";
        return path;
    }

    Rectangle {
        anchors.fill: parent
        visible: band.solid
        color: band.tone
    }

    Shape {
        anchors.fill: parent
        visible: !band.solid

        ShapePath {
            strokeColor: band.tone
            strokeWidth: Theme.stripe
            fillColor: Theme.clear
            capStyle: ShapePath.FlatCap

            PathSvg {
                path: band.stripes(band.width, band.height)
            }
        }
    }

    Rectangle {
        anchors.fill: parent
        visible: band.outlined
        color: Theme.clear
        border {
            width: Theme.outline
            color: band.tone
        }
    }
}
