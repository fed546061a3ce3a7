pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team's half of the calm wrist: band at the rim, letter, points, the server due in a disc; at the receivers' the
// next server.
Item {
    id: side

    required property TeamLook team
    required property bool atLeft
    required property WristShape shape
    property bool withNext: true

    readonly property WristSizes sizes: Theme.wrist
    readonly property bool round: side.shape.round
    readonly property int rim: side.round ? 20 : side.sizes.bandWidth
    readonly property real middle: (side.width + (side.atLeft ? side.rim : -side.rim)) / 2

    Accessible.role: Accessible.StaticText
    Accessible.name: "Team " + side.team.letter + ", " + side.team.points + " points" + (side.team.serves ? ", number " + side.team.server + " serves" : "")

    TeamBand {
        visible: !side.round
        x: side.atLeft ? 0 : side.width - width
        y: side.sizes.rail
        width: side.sizes.bandWidth
        height: side.sizes.courtHigh
        letter: side.team.letter
    }

    RoundBand {
        visible: side.round
        x: side.atLeft ? 0 : -side.shape.radius
        width: side.shape.wide
        height: side.shape.high
        letter: side.team.letter
        atLeft: side.atLeft
        radius: side.shape.radius
    }

    Words {
        x: Math.round(side.middle - width / 2)
        bl: 110
        size: side.sizes.letter
        bold: true
        text: side.team.letter
    }

    Words {
        objectName: "wrist.score." + side.team.letter
        x: Math.round(side.middle - width / 2)
        bl: 222
        size: side.sizes.figure
        bold: true
        text: String(side.team.points)
    }

    ServerDisc {
        objectName: "wrist.server." + side.team.letter
        visible: side.team.serves && side.team.server >= 0
        x: Math.round(side.middle - width / 2)
        y: Math.round((side.round ? 280 : 286) - height / 2)
        across: side.sizes.disc
        size: side.sizes.server
        number: String(side.team.server)
    }

    Words {
        visible: side.withNext && !side.team.serves && side.team.nextServer >= 0
        x: Math.round(side.middle - width / 2)
        bl: side.round ? 291 : 297
        size: side.sizes.small
        text: "next " + side.team.nextServer
        color: Theme.dim
    }
}
