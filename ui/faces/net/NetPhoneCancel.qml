pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Back without doing anything, at the lower edge of the phone.
Pad {
    id: cancel

    required property NetState desk

    objectName: "net.page.cancel"
    x: Theme.phone.margin
    y: parent.height - 16 - height
    width: parent.width - 2 * Theme.phone.margin
    height: 72
    sizes: Theme.phone
    kind: Pad.Outlined
    path: Marks.cross
    markSize: 28
    text: "Cancel"
    onActed: cancel.desk.shut()
}
