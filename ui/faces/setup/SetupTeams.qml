pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Both team lists, A left and B right (A above B on an upright tablet).
Item {
    id: page

    required property SetupView setup
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property real column: page.wide ? Math.round((page.width - 2 * page.sizes.margin) / 2) : page.width
    readonly property real high: page.wide ? page.height : Math.round((page.height - page.sizes.margin) / 2)

    SetupTeam {
        width: page.column
        height: page.high
        form: page.setup.teamA
        named: page.setup.event.names
    }

    SetupTeam {
        x: page.wide ? page.width - width : 0
        y: page.wide ? 0 : page.height - height
        width: page.column
        height: page.high
        form: page.setup.teamB
        named: page.setup.event.names
        bandRight: page.wide
    }
}
