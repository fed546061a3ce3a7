pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A team's row on a tile: band, short name, points.
Item {
    id: team

    required property BoardTile tile
    required property string letter
    required property string name
    required property string points

    readonly property int inset: 20
    readonly property color tone: team.tile.linked ? team.tile.bodyInk : Theme.off

    height: 64

    TeamBand {
        x: team.inset
        y: 7
        width: team.tile.sizes.tileBand
        height: 50
        letter: team.letter
        tone: team.tile.linked && !team.tile.noticed ? Theme.dim : team.tone
    }

    Words {
        x: team.inset + 32
        mid: 32
        size: team.tile.sizes.small
        text: team.name
        color: team.tone
    }

    Words {
        x: team.width - team.inset - width
        mid: 32
        size: team.tile.sizes.figure
        bold: team.tile.full
        text: team.points
        color: team.tone
    }
}
