pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Away from a page without doing anything; outlined, at the far corner of the well.
Pad {
    id: cancel

    required property Item page
    required property NetState desk
    required property bool upright
    property int wide: cancel.upright ? Math.floor((cancel.page.width - 2 * Theme.net.margin - Theme.net.gap) / 2) : Theme.net.well

    objectName: "net.page.cancel"
    x: cancel.upright || cancel.desk.rightHand ? cancel.page.width - Theme.net.margin - width : Theme.net.margin
    y: cancel.page.height - Theme.s5 - height
    width: cancel.wide
    height: cancel.upright ? 90 : 116
    sizes: Theme.net
    kind: Pad.Outlined
    path: Marks.cross
    text: "Cancel"
    onActed: cancel.desk.shut()
}
