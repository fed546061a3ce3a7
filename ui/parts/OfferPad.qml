pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Something that can be done about who writes, or with a device: one press; held where it can't be taken back lightly.
Item {
    id: offer

    required property FaceSizes sizes
    required property string key
    required property string words
    required property string warning
    required property string place
    property bool strong: false
    property int labelSize: offer.sizes.body

    readonly property string doing: offer.key.split("/")[0]
    readonly property string whom: offer.key.split("/")[1]

    signal acted

    implicitHeight: offer.sizes.target

    Pad {
        objectName: offer.warning === "" ? offer.place + "." + offer.doing + (offer.doing === "hand" || offer.doing === "job" ? "." + offer.whom : "") : ""
        visible: offer.warning === ""
        anchors.fill: parent
        sizes: offer.sizes
        kind: offer.strong ? Pad.Filled : Pad.Raised
        labelSize: offer.labelSize
        inset: Theme.s4
        text: offer.words.split(", ")[0]
        detail: offer.words.split(", ").slice(1).join(", ")
        onActed: offer.acted()
    }

    HoldPad {
        objectName: offer.warning !== "" ? offer.place + "." + offer.doing : ""
        visible: offer.warning !== ""
        anchors.fill: parent
        sizes: offer.sizes
        labelSize: offer.labelSize
        inset: Theme.s4
        plainText: offer.words
        detail: "hold to do it"
        onDone: offer.acted()
    }
}
