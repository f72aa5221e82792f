#include "panel/permission.h"

#include "core/words/names.h"
#include "panel/context.h"

#include <stdio.h>

const char *permission_words(enum bridge_answer answer) {
    return answer == ANSWER_NO_SUCH ? "this bridge is moved by hand" : bridge_answer_text(answer);
}

bool permission_is_barred(const struct panel_context *context, unsigned bridge,
                          const struct bridge_request *request, char why[PERMISSION_WORDS_SIZE]) {
    if (bridge_request_rests(request)) {
        return false; /* S9, whatever the host thinks */
    }
    const struct panel_host *host = &context->host;
    const char *kept =
        host->kept_by_stand == NULL ? NULL : host->kept_by_stand(host->context, bridge, request);
    if (kept != NULL) {
        snprintf(why, PERMISSION_WORDS_SIZE, "%s", kept);
        return true;
    }
    int32_t session = context->host.barred_by(context->host.context, bridge, request);
    if (session != 0) {
        snprintf(why, PERMISSION_WORDS_SIZE, "session %d has locked it; only a stop is accepted",
                 session);
    }
    return session != 0;
}

bool permission_would(const struct panel_context *context, unsigned bridge,
                      enum bridge_request_kind kind, char why[PERMISSION_WORDS_SIZE]) {
    const struct bridge_request request = {.kind = kind};
    why[0] = '\0';
    if (permission_is_barred(context, bridge, &request, why)) {
        return false;
    }
    enum bridge_answer answer = context->host.would(context->host.context, bridge, &request);
    if (answer == ANSWER_ALREADY) {
        snprintf(why, PERMISSION_WORDS_SIZE, "nothing to do");
    } else if (!bridge_answer_is_granted(answer)) {
        snprintf(why, PERMISSION_WORDS_SIZE, "%s", permission_words(answer));
    }
    return why[0] == '\0';
}
