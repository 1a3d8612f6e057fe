using System.CommandLine;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Files;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Aliases;

/// <summary>Names that mean the same: list, create, delete.</summary>
internal sealed class AliasesCommand(CommandContext context)
{
    private const int LargestPage = 1000;

    private static readonly string[] Kinds = ["module", "site", "refurbisher", "host-model"];

    /// <summary>The command with those below it.</summary>
    public Command Create() => new("aliases", "Ids of one module, and spellings of sites, refurbishers and host models that mean the same.")
    {
        List(), CreateAlias(), Delete(),
    };

    private Command List()
    {
        Option<string?> kind = new("--kind") { Description = "module, site, refurbisher or host-model; all when absent." };
        kind.AcceptOnlyFromAmong(Kinds);
        ListOptions options = new();
        Command command = new("list", "List the aliases in force.") { kind };
        options.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            AliasKind asked = KindOf(parse.GetValue(kind));
            ListAliasesResponse all = new();
            bool more = await PageReader.ReadAsync(options.Limit(parse), LargestPage, async (size, token) =>
            {
                ListAliasesResponse page = await connection.History.ListAliasesAsync(
                    new ListAliasesRequest { Kind = asked, PageSize = size, PageToken = token }, cancellationToken: cancellation).ConfigureAwait(false);
                all.Aliases.Add(page.Aliases);
                all.NextPageToken = page.NextPageToken;
                return (page.Aliases.Count, page.NextPageToken);
            }).ConfigureAwait(false);
            return context.Answer(parse, all, answer =>
            {
                Write(answer.Aliases);
                ListOptions.TellMore(context.Terminal, more, answer.Aliases.Count);
            });
        });
    }

    private Command CreateAlias()
    {
        Argument<string> kind = new("KIND") { Description = "module, site, refurbisher or host-model." };
        kind.AcceptOnlyFromAmong(Kinds);
        Argument<string> alternate = new("ALTERNATE") { Description = "The name that is not to be used any more: an id of a module, or a spelling as typed." };
        Argument<string> primary = new("PRIMARY") { Description = "The name it stands for." };
        Option<bool> validateOnly = new("--validate-only") { Description = "Check everything, change nothing." };
        Command command = new("create", "Make a name stand for another.") { kind, alternate, primary, validateOnly };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            AliasKind about = KindOf(parse.GetRequiredValue(kind));
            Alias alias = await connection.History.CreateAliasAsync(
                new CreateAliasRequest
                {
                    Alias = new()
                    {
                        Kind = about,
                        Alternate = Name(about, parse.GetRequiredValue(alternate)),
                        Primary = Name(about, parse.GetRequiredValue(primary)),
                    },
                    ValidateOnly = parse.GetValue(validateOnly),
                },
                cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, alias, answer => Write([answer]));
        });
    }

    private Command Delete()
    {
        Argument<string> name = new("ALIAS") { Description = "The alias's name, aliases/..., as list gives it." };
        Option<bool> validateOnly = new("--validate-only") { Description = "Check everything, change nothing." };
        Command command = new("delete", "Delete an alias: both names mean again what they meant before.") { name, validateOnly };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            DeleteAliasResponse deleted = await connection.History.DeleteAliasAsync(
                new DeleteAliasRequest { Name = InCollection("aliases/", parse.GetRequiredValue(name)), ValidateOnly = parse.GetValue(validateOnly) },
                cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, deleted, answer => context.Terminal.Line(
                answer.Revision.Length == 0 ? "It could be deleted." : $"Deleted. Revision {answer.Revision}"));
        });
    }

    private void Write(IEnumerable<Alias> aliases)
    {
        Table table = Tables.Of("Alias", "About", "Alternate", "Primary").Whole(0);
        foreach (Alias alias in aliases)
            table.Row(alias.Name, ContractWords.Of(alias.Kind), alias.Alternate, alias.Primary);
        if (table.Rows.Count == 0)
            context.Terminal.Line("There are no aliases.");
        context.Terminal.Write(table);
    }

    private static AliasKind KindOf(string? word) =>
        word is not null && ContractWords.TryParse(word, out AliasKind kind) ? kind : AliasKind.Unspecified;

    private static string Name(AliasKind kind, string text) => kind == AliasKind.Module ? InCollection("modules/", text) : text;

    private static string InCollection(string collection, string text) =>
        text.StartsWith(collection, StringComparison.Ordinal) ? text : collection + text;
}
