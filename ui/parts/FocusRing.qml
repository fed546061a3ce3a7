pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The focus ring: 3 px ink, 3 px outside the control it is laid on.
Rectangle {
    id: ring

    property int inner: Theme.padRadius

    anchors.fill: parent
    anchors.margins: -2 * Theme.ring
    radius: ring.inner + 2 * Theme.ring
    color: Theme.clear
    border {
        width: Theme.ring
        color: Theme.ink
    }
    Accessible.ignored: true
}
