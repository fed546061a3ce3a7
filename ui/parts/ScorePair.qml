pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Both teams' points round the net axis, names and counts at the rims, as this reader sees them.
// `upright` (portrait) stacks the counts in four lines a side.
Item {
    id: pair

    required property CourtView view
    required property FaceSizes sizes
    property int pointsSize: pair.sizes.figure
    property int textSize: pair.sizes.body
    property int axisGap: 22
    property bool upright: false
    property bool calm: false

    readonly property real axis: pair.width / 2

    implicitHeight: pair.pointsSize

    Rectangle {
        x: Math.round(pair.axis - width / 2)
        y: pair.height * 0.08
        width: Theme.outline
        height: pair.height * 0.8
        color: Theme.line
    }

    ScoreSide {
        team: pair.view.leftTeam
        pair: pair
        atLeft: true
        width: pair.axis
        height: pair.height
    }

    ScoreSide {
        team: pair.view.rightTeam
        pair: pair
        atLeft: false
        x: pair.axis
        width: pair.axis
        height: pair.height
    }
}
