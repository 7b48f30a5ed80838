using System.Text.Json.Nodes;

namespace PatchLang.LanguageServer.Tests;

/// <summary>What clients say that they can do.</summary>
internal static class Clients
{
    /// <summary>A client that supports nothing optional.</summary>
    public static JsonObject Plain => [];

    /// <summary>A client that supports everything that the server makes use of, and is sent findings.</summary>
    public static JsonObject Full => JsonNode.Parse("""
        {
          "general": { "positionEncodings": ["utf-16"] },
          "window": { "workDoneProgress": true },
          "workspace": {
            "workspaceFolders": true, "applyEdit": true, "workspaceEdit": { "documentChanges": true },
            "didChangeWatchedFiles": { "dynamicRegistration": true }, "fileOperations": { "willRename": true },
            "textDocumentContent": {}, "symbol": { "symbolKind": { "valueSet": [1, 26] } }, "diagnostics": { "refreshSupport": true },
            "inlayHint": { "refreshSupport": true }, "codeLens": { "refreshSupport": true }, "semanticTokens": { "refreshSupport": true }
          },
          "textDocument": {
            "publishDiagnostics": { "relatedInformation": true, "versionSupport": true, "codeDescriptionSupport": true, "tagSupport": { "valueSet": [1, 2] } },
            "completion": { "completionItem": { "snippetSupport": true, "documentationFormat": ["markdown", "plaintext"] }, "completionItemKind": { "valueSet": [1, 25] } },
            "hover": { "contentFormat": ["markdown", "plaintext"] },
            "signatureHelp": { "signatureInformation": { "documentationFormat": ["markdown"], "parameterInformation": { "labelOffsetSupport": true } } },
            "definition": { "linkSupport": true }, "declaration": { "linkSupport": true }, "typeDefinition": { "linkSupport": true },
            "documentSymbol": { "hierarchicalDocumentSymbolSupport": true, "symbolKind": { "valueSet": [1, 26] } },
            "codeAction": { "codeActionLiteralSupport": { "codeActionKind": { "valueSet": ["quickfix", "refactor", "source.fixAll"] } }, "isPreferredSupport": true },
            "rename": { "prepareSupport": true }, "foldingRange": {}
          }
        }
        """)!.AsObject();

    /// <summary>The same, but that it asks for findings.</summary>
    public static JsonObject Pulling
    {
        get
        {
            var full = Full;
            full["textDocument"]!["diagnostic"] = new JsonObject();
            return full;
        }
    }

    /// <summary>The full client, counting characters in another way.</summary>
    public static JsonObject Counting(params string[] encodings)
    {
        var full = Full;
        full["general"]!["positionEncodings"] = new JsonArray([.. encodings.Select(e => JsonValue.Create(e))]);
        return full;
    }
}
