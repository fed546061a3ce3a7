pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// All courts: tiles four across that never move (a hall of up to four courts has larger ones), the list of open notices beside them with what comes next under it.
// Arrows go from tile to tile; Tab goes on to the list.
FocusScope {
    id: hall

    required property BoardView board
    property int remembered: -1
    property int current: 0

    readonly property BoardSizes sizes: Theme.board
    readonly property int across: hall.board.courts > 4 ? 4 : hall.board.courts > 1 ? 2 : 1
    readonly property real zoom: hall.board.courts > 4 ? 1 : hall.board.courts > 2 ? 1.5 : hall.board.courts > 1 ? 2 : 2.9

    function tile(place: int): Item {
        return tiles.itemAt(place);
    }

    function takeFocus() {
        const found = hall.tile(hall.current);
        if (found)
            found.forceActiveFocus(Qt.TabFocusReason);
    }

    function giveBack() {
        for (let place = 0; place < tiles.count; place++) {
            const tile = hall.tile(place) as BoardTile;
            if (tile && tile.court === hall.remembered)
                hall.current = place;
        }
        hall.takeFocus();
    }

    function go(place: int, key: int) {
        const column = place % hall.across;
        let to = place;
        if (key === Qt.Key_Left && column > 0)
            to = place - 1;
        else if (key === Qt.Key_Right && column < hall.across - 1)
            to = place + 1;
        else if (key === Qt.Key_Up)
            to = place - hall.across;
        else if (key === Qt.Key_Down)
            to = place + hall.across;
        if (to < 0 || to >= tiles.count)
            return;
        hall.current = to;
        hall.takeFocus();
    }

    Words {
        visible: tiles.count === 0
        x: hall.sizes.margin
        bl: 72
        size: hall.sizes.small
        text: "No courts yet."
        color: Theme.dim
    }

    Repeater {
        id: tiles

        model: hall.board.tiles

        BoardTile {
            id: tile

            required property int index

            objectName: "board.court" + tile.court + ".tile"
            x: hall.sizes.margin - 20 + (tile.index % hall.across) * (hall.sizes.tileWide * hall.zoom + 16)
            y: 24 + Math.floor(tile.index / hall.across) * (hall.sizes.tileHigh * hall.zoom + 16)
            transformOrigin: Item.TopLeft
            scale: hall.zoom
            width: hall.sizes.tileWide
            height: hall.sizes.tileHigh
            focusPolicy: tile.index === hall.current ? Qt.StrongFocus : Qt.ClickFocus
            onActed: hall.board.open(tile.court)
            Keys.onReturnPressed: hall.board.open(tile.court)
            Keys.onEnterPressed: hall.board.open(tile.court)
            Keys.onPressed: event => {
                if ([Qt.Key_Left, Qt.Key_Right, Qt.Key_Up, Qt.Key_Down].includes(event.key)) {
                    hall.go(tile.index, event.key);
                    event.accepted = true;
                }
            }
        }
    }

    Rectangle {
        x: 1436
        y: 24
        width: Theme.outline
        height: hall.height - 36
        color: Theme.hair
    }

    BoardList {
        x: 1472
        y: 24
        width: hall.sizes.list
        height: hall.height - 36
        board: hall.board
    }
}
