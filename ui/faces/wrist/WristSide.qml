pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// One team's half of the calm wrist: band at the rim, letter, points, and the server due in a disc.
Item {
    id: side

    required property TeamLook team
    required property bool atLeft

    readonly property WristSizes sizes: Theme.wrist
    readonly property real middle: (side.width + (side.atLeft ? side.sizes.bandWidth : -side.sizes.bandWidth)) / 2

    Accessible.role: Accessible.StaticText
    Accessible.name: "Team " + side.team.letter + ", " + side.team.points + " points" + (side.team.serves ? ", number " + side.team.server + " serves" : "")

    TeamBand {
        x: side.atLeft ? 0 : side.width - width
        width: side.sizes.bandWidth
        height: side.height
        letter: side.team.letter
    }

    Words {
        x: Math.round(side.middle - width / 2)
        bl: 42
        size: side.sizes.letter
        bold: true
        text: side.team.letter
    }

    Words {
        objectName: "wrist.score." + side.team.letter
        x: Math.round(side.middle - width / 2)
        bl: 154
        size: side.sizes.figure
        bold: true
        text: String(side.team.points)
    }

    ServerDisc {
        objectName: "wrist.server." + side.team.letter
        visible: side.team.serves && side.team.server >= 0
        x: Math.round(side.middle - width / 2)
        y: Math.round(218 - height / 2)
        across: side.sizes.disc
        size: side.sizes.server
        number: String(side.team.server)
    }
}
