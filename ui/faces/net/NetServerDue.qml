pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Who serves next, as large as it can be: disc, team, and who would follow for the other team.
Item {
    id: due

    required property CourtView court

    readonly property NetSizes sizes: Theme.net
    readonly property TeamLook serving: due.court.serverTeam === "B" ? due.court.teamB : due.court.teamA
    readonly property TeamLook waiting: due.court.serverTeam === "B" ? due.court.teamA : due.court.teamB
    readonly property bool known: due.court.server >= 0 && due.court.serverTeam !== ""

    visible: due.known
    height: 260
    Accessible.role: Accessible.StaticText
    Accessible.name: "Server due: Team " + due.court.serverTeam + ", number " + due.court.server

    Words {
        bl: 40
        size: due.sizes.body
        text: "Server due"
        color: Theme.dim
    }

    ServerDisc {
        id: disc

        objectName: "net.due.disc"
        y: 70
        across: due.sizes.dueDisc
        size: due.sizes.due
        number: String(due.court.server)
    }

    Words {
        x: disc.width + Theme.s5
        mid: disc.y + disc.height / 2
        size: due.sizes.strong
        bold: true
        text: "Team " + due.court.serverTeam
    }

    CountLine {
        visible: due.waiting.nextServer >= 0
        bl: 238
        label: "next for " + due.waiting.letter
        value: String(due.waiting.nextServer)
        labelSize: due.sizes.body
    }
}
