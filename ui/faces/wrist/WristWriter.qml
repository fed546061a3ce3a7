pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// What stands before the moment itself: the match is not here yet, nothing is saved here, or this device writes and the
// table could. One pad, or none.
WristMoment {
    id: page

    required property string trouble

    readonly property bool coming: page.trouble === "coming"
    readonly property bool unsaved: page.trouble === "unsaved"

    signal seen

    objectName: "wrist.writer." + page.trouble
    path: page.coming ? Marks.wait : page.unsaved ? Marks.cross : Marks.lineup
    titleSize: page.sizes.strong
    tells: page.trouble === "hand"
    title: page.coming ? (page.court.writer.catchUpText !== "" ? "Catching up" : "Waiting") : page.unsaved ? "Not saved here" : "You write"
    line: page.coming ? (page.court.writer.catchUpText !== "" ? page.court.writer.catchUpText.replace("catching up ", "") : "for the match") : page.unsaved ? page.court.storageShort : ""

    WristPad {
        objectName: page.unsaved ? "wrist.writer.seen" : "wrist.writer.hand"
        visible: !page.coming
        shape: page.shape
        x: page.round ? 0 : page.sizes.margin
        y: page.unsaved ? page.shape.tellTop : 216 - page.lift
        width: page.width - 2 * x
        height: page.unsaved ? page.shape.tellHigh : page.shape.tellTop - page.sizes.gap - y
        text: page.unsaved ? "Got it" : "Let the table write"
        labelSize: page.sizes.body
        middle: page.unsaved ? 0.4 : 0.5
        kind: page.unsaved ? Pad.Raised : Pad.Filled
        onActed: {
            if (page.unsaved)
                page.seen();
            else
                page.court.writer.act(page.court.writer.handTo);
        }
    }
}
