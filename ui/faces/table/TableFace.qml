pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The scorer's table: court and both benches, what waits or what was written, the number line and its keys. Drawn on a
// page of 1366 x 768 or more, which grows with the window. All keys go to `Desk`; a region only shows the focus.
Face {
    id: face

    property SetupView adding: null

    readonly property bool adds: face.adding !== null && face.adding.adding
    readonly property Desk desk: face.court.desk
    readonly property string region: face.desk.panel.region
    readonly property real factor: Math.min(face.width / 1366, face.height / 768)

    function follow(): void {
        const places = {
            "line": line,
            "notices": body.middlePlace,
            "history": body.middlePlace,
            "left": body.leftPlace,
            "right": body.rightPlace,
            "rail": rail,
            "crew": rail
        };
        places[face.region].forceActiveFocus();
    }

    onRegionChanged: face.follow()
    Component.onCompleted: face.follow()

    Connections {
        target: face.desk

        function onThemeAsked() {
            Theme.bright = !Theme.bright;
        }

        function onChanged() {
            face.Accessible.announce(line.spoken, Accessible.Polite);
        }
    }

    FocusScope {
        id: page

        focus: true
        width: face.width / face.factor
        height: face.height / face.factor
        scale: face.factor
        transformOrigin: Item.TopLeft

        Keys.onPressed: event => {
            event.accepted = face.desk.press(event.key, event.nativeScanCode, event.isAutoRepeat);
        }
        Keys.onReleased: event => {
            event.accepted = face.desk.lift(event.key, event.nativeScanCode, event.isAutoRepeat);
        }

        TableRail {
            id: rail

            width: page.width
            height: Theme.table.rail
            view: face.court
        }

        TableBody {
            id: body

            visible: !face.adds && face.court.writer.matchHere && !["sheet", "crew"].includes(face.desk.panel.kind)
            y: Theme.table.rail
            width: page.width
            height: line.y - y
            view: face.court
        }

        TableCrew {
            visible: !face.adds && face.desk.panel.kind === "crew"
            y: Theme.table.rail
            width: page.width
            height: line.y - y
            view: face.court
        }

        CatchingUp {
            visible: !face.adds && !face.court.writer.matchHere && face.desk.panel.kind !== "crew"
            y: Theme.table.rail
            width: page.width
            height: line.y - y
            writer: face.court.writer
            sizes: Theme.table
        }

        TableSheet {
            visible: !face.adds && face.desk.panel.kind === "sheet"
            y: Theme.table.rail
            width: page.width
            height: line.y - y
            view: face.court
        }

        NumberLine {
            id: line

            objectName: "table.line"
            visible: !face.adds
            y: keys.y - height
            width: page.width
            desk: face.desk
            focus: true
        }

        TableKeys {
            id: keys

            visible: !face.adds
            y: page.height - height
            width: page.width
            desk: face.desk
        }

        Loader {
            anchors.fill: parent
            active: face.adding !== null
            sourceComponent: AddDevice {
                setup: face.adding
                court: face.court
                offered: face.desk.panel.kind === "crew"
                sizes: Theme.table
                rail: Theme.table.rail
                place: Qt.rect(page.width - 260 - Theme.table.margin, line.y - 56 - Theme.s3, 260, 56)
                onOpenChanged: {
                    if (!open)
                        face.follow();
                }
            }
        }
    }
}
