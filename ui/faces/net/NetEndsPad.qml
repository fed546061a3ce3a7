pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Beside a notice that everybody knows of: opens the page on which it is said how it ended.
Pad {
    id: pad

    required property CourtView court
    required property NetState desk
    readonly property bool aside: pad.court.plates.ending.kind === "set_aside"

    objectName: "net.tray.ends"
    anchors.right: parent.right
    inset: Theme.s3
    labelSize: pad.sizes.small
    text: pad.aside ? "Not counted" : "It is over"
    detail: pad.aside ? "choose" : pad.court.plates.ending.closes ? "say how" : "R1's sign"
    onActed: pad.desk.open("ends")
}
